//! How the rank of a block and what explains it are reckoned.

use crate::season::HowReckoned;

/// One explanation for the overview's own figures.
pub fn how() -> Vec<HowReckoned> {
    vec![HowReckoned {
        id: "return-difference",
        title: "Why a return differs",
        formula: "Return over all costs per acre = yield × price − labor − water − other costs. A difference in yield \
                  counts at the other's price, a difference in price on the block's own yield, the rest as it stands: \
                  the parts sum to the difference. The median block is the median in each of these over the blocks that know it, \
                  so it need not be one of the blocks. Where a packed weight is not known, net to grower stands for yield and price."
            .into(),
        source: "Arithmetic: a product's difference taken apart; median: NIST/SEMATECH e-Handbook of Statistical Methods, 1.3.5.1",
    }]
}
