fn main() {
    for (name, season) in print::samples::all() {
        for paper in print::sheet::Paper::ALL {
            let issue = print::report::Issue { paper, made_on: chrono::NaiveDate::from_ymd_opt(2026, 11, 3).unwrap(), revision: 1 };
            let t = std::time::Instant::now();
            let bytes = print::report::pdf(&season, &issue).unwrap();
            let t1 = std::time::Instant::now();
            let f = print::fingerprint::fingerprint(&season);
            let t2 = std::time::Instant::now();
            let sh = print::report::sheet(&season, &issue);
            let t3 = std::time::Instant::now();
            let _ = print::pdf::write(&sh, &print::pdf::Meta { title: "x".into(), made_on: issue.made_on, fingerprint: f }).unwrap();
            let t4 = std::time::Instant::now();
            eprintln!("json+fp {:?} sheet(+fp) {:?} pdf {:?} texts {}", t2 - t1, t3 - t2, t4 - t3, sh.texts().count());
            eprintln!("{name} {paper:?} {} bytes {:?}", bytes.len(), t.elapsed());
            std::fs::write(format!("/tmp/out/{name}-{}.pdf", paper.word()), bytes).unwrap();
        }
        if let Some(d) = print::chart::water(&season.water, 330.0, 170.0) {
            std::fs::write(format!("/tmp/out/{name}-water.svg"), print::chart::svg::svg(&d, "w")).unwrap();
        }
    }
}
