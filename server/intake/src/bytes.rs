//! From bytes to text: encodings, and files that are no text at all.

use encoding_rs::{UTF_8, UTF_16BE, UTF_16LE, WINDOWS_1252};

use crate::problem::Problem;

/// Largest file taken.
pub(crate) const MOST_BYTES: usize = 20 * 1024 * 1024;

const CSV_EXPECTED: &str = "a CSV file: text with a header line and one record on each line";
const CSV_EXAMPLE: &str = "the sheet saved again as \"CSV (comma separated)\"";

/// A file as text, and what is worth saying about how it was read.
#[derive(Debug, PartialEq, Eq)]
pub(crate) struct Decoded {
    pub(crate) text: String,
    pub(crate) remarks: Vec<String>,
}

/// Turns a file into text. Windows-1252 is taken where the bytes are no UTF-8, with a remark.
pub(crate) fn decode(bytes: &[u8]) -> Result<Decoded, Problem> {
    if bytes.len() > MOST_BYTES {
        let read = format!("a file of {} MB", bytes.len().div_ceil(1024 * 1024));
        return Err(Problem::of_file(None, &read, "a file of at most 20 MB", "one file for each season"));
    }
    if let Some(what) = not_text(bytes) {
        return Err(Problem::of_file(None, what, CSV_EXPECTED, CSV_EXAMPLE));
    }
    let (text, remark) = to_text(bytes)?;
    if text.trim().is_empty() {
        return Err(Problem::of_file(None, "an empty file", CSV_EXPECTED, "date,block,task"));
    }
    Ok(Decoded { text, remarks: remark.map(str::to_owned).into_iter().collect() })
}

fn to_text(bytes: &[u8]) -> Result<(String, Option<&'static str>), Problem> {
    if let Some(rest) = bytes.strip_prefix(b"\xEF\xBB\xBF") {
        return Ok(UTF_8.decode_without_bom_handling_and_without_replacement(rest).map_or_else(
            || (WINDOWS_1252.decode_without_bom_handling(rest).0.into_owned(), Some(READ_AS_1252)),
            |text| (text.into_owned(), None),
        ));
    }
    for (bom, encoding, remark) in
        [(b"\xFF\xFE", UTF_16LE, "read as UTF-16"), (b"\xFE\xFF", UTF_16BE, "read as UTF-16, big end first")]
    {
        if let Some(rest) = bytes.strip_prefix(bom) {
            let text = encoding.decode_without_bom_handling_and_without_replacement(rest);
            return text.map(|text| (text.into_owned(), Some(remark))).ok_or_else(broken_utf16);
        }
    }
    match core::str::from_utf8(bytes) {
        Ok(text) => Ok((text.to_owned(), None)),
        Err(_) => Ok((WINDOWS_1252.decode_without_bom_handling(bytes).0.into_owned(), Some(READ_AS_1252))),
    }
}

const READ_AS_1252: &str = "read as Windows-1252 (Latin-1)";

fn broken_utf16() -> Problem {
    Problem::of_file(
        None,
        "a UTF-16 file cut in the middle of a sign",
        "a whole text file",
        "the same file saved again",
    )
}

/// What the first bytes say a file is, when that is not text.
fn not_text(bytes: &[u8]) -> Option<&'static str> {
    const KNOWN: &[(&[u8], &str)] = &[
        (b"%PDF", "a PDF document"),
        (b"PK\x03\x04", "a workbook (XLSX) or another ZIP file"),
        (b"PK\x05\x06", "an empty ZIP file"),
        (b"\xD0\xCF\x11\xE0", "a workbook of the old kind (XLS)"),
        (b"\x89PNG", "a picture (PNG)"),
        (b"\xFF\xD8\xFF", "a picture (JPEG)"),
        (b"GIF8", "a picture (GIF)"),
        (b"II*\0", "a picture (TIFF)"),
        (b"MM\0*", "a picture (TIFF)"),
        (b"RIFF", "a picture or sound file"),
        (b"\x1F\x8B", "a compressed file (gzip)"),
        (b"{\\rtf", "a word-processor document (RTF)"),
    ];
    let known = KNOWN.iter().find(|(start, _)| bytes.starts_with(start)).map(|(_, what)| *what);
    known.or_else(|| is_heic(bytes).then_some("a picture (HEIC)")).or_else(|| is_html(bytes).then_some("a web page"))
}

/// Pictures of telephones: `ftyp` stands after the length of the first part.
fn is_heic(bytes: &[u8]) -> bool {
    bytes.get(4..8) == Some(b"ftyp".as_slice())
}

fn is_html(bytes: &[u8]) -> bool {
    let start = String::from_utf8_lossy(bytes.get(..64).unwrap_or(bytes)).to_lowercase();
    let start = start.trim_start_matches('\u{feff}').trim_start();
    start.starts_with("<!doctype") || start.starts_with("<html") || start.starts_with("<?xml")
}

#[cfg(test)]
mod tests {
    use super::*;

    fn text(bytes: &[u8]) -> (String, Vec<String>) {
        let decoded = decode(bytes).unwrap();
        (decoded.text, decoded.remarks)
    }

    #[test]
    fn encodings() {
        assert_eq!(text("a,ñ\n".as_bytes()), ("a,ñ\n".to_owned(), vec![]));
        assert_eq!(text(b"\xEF\xBB\xBFa,b"), ("a,b".to_owned(), vec![]));
        assert_eq!(text(b"a,\xF1"), ("a,ñ".to_owned(), vec![READ_AS_1252.to_owned()]));
        assert_eq!(text(b"\xFF\xFEa\0,\0\xF1\0"), ("a,ñ".to_owned(), vec!["read as UTF-16".to_owned()]));
        assert_eq!(text(b"\xFE\xFF\0a\0,"), ("a,".to_owned(), vec!["read as UTF-16, big end first".to_owned()]));
        assert!(decode(b"\xFF\xFEa\0,").is_err());
    }

    #[test]
    fn files_that_are_no_text() {
        let cases: [(&[u8], &str); 6] = [
            (b"%PDF-1.7\n", "PDF"),
            (b"PK\x03\x04\x14", "XLSX"),
            (b"\xFF\xD8\xFF\xE0", "JPEG"),
            (b"\0\0\0\x18ftypheic", "HEIC"),
            (b"\xEF\xBB\xBF <!DOCTYPE html>", "web page"),
            (b" \r\n ", "empty"),
        ];
        for (bytes, what) in cases {
            let sentence = decode(bytes).unwrap_err().to_string();
            assert!(sentence.contains(what), "{sentence}");
        }
    }

    #[test]
    fn a_file_of_more_than_20_mb_is_refused() {
        let sentence = decode(&vec![b'a'; MOST_BYTES + 1]).unwrap_err().to_string();
        assert_eq!(
            sentence,
            "read a file of 21 MB, expected a file of at most 20 MB, for example one file for each season"
        );
    }
}
