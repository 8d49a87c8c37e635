//! A garden whose names try to break out of pages and lines.

use std::fmt::Write as _;
use std::fs;
use std::path::Path;

use crate::support::run;

/// Names that have broken out of pages and screens before.
const NAMES: [&str; 4] = [
    "</script><svg onload=alert(1)>\"'&amp;",
    "\u{202e}sdrawkcab\u{2066} bed",
    "\u{1f345}\u{1f468}\u{200d}\u{1f33e}\u{1f1ec}\u{1f1e7} e\u{301}",
    "x",
];

/// The names, the last one as long as a name may be.
pub(crate) fn names() -> Vec<String> {
    let mut names: Vec<String> = NAMES.map(str::to_owned).to_vec();
    names[3] = "L\u{f8}ng".repeat(75);
    assert_eq!(names[3].chars().count(), 300);
    names
}

/// A garden whose beds, sections, varieties and notes carry the odd names.
pub(crate) fn odd_garden(folder: &Path) {
    let quoted = |text: &str| format!("\"{}\"", text.replace('"', "\"\""));
    fs::create_dir(folder.join("odd")).expect("a folder");
    let mut beds = String::from("bed,kind,length_m,width_m,x_m,y_m,note\n");
    let mut plantings = String::from("bed,section,crop,variety,planted,removed,note\n");
    let mut seen = String::from("bed,section,date,crop,cause,symptom,certainty,note\n");
    for (at, name) in names().iter().enumerate() {
        let (bed, short) = (quoted(name), quoted(&name.chars().take(40).collect::<String>()));
        writeln!(beds, "{bed},ground,2.4,1.2,{},0,{bed}", 3 * at).expect("a text grows");
        writeln!(plantings, "{bed},{short},tomato,{short},2025-04-01,2025-09-01,{bed}")
            .expect("a text grows");
        writeln!(plantings, "{bed},,kale,,2026-03-01,,").expect("a text grows");
        writeln!(seen, "{bed},{short},2025-07-01,tomato,verticillium wilt,{bed},laboratory,{bed}")
            .expect("a text grows");
        writeln!(seen, "{bed},,2026-05-01,kale,unknown,{bed},suspected,").expect("a text grows");
    }
    for (name, text) in [
        (
            "site.csv",
            "name,latitude,longitude,elevation_m\n\"</title><b>\u{202e}\",50,-4,10\n".to_owned(),
        ),
        ("beds.csv", beds),
        ("plantings.csv", plantings),
        ("observations.csv", seen),
        ("wishes.csv", "crop,mass_kg,note\nstrawberry,2,\"<img src=x>\"\n".to_owned()),
    ] {
        fs::write(folder.join("odd").join(name), text).expect("a file");
    }
    let ran = run(folder, &["-g", "odd.breakcrop", "--today", "2026-06-01", "import", "odd"]);
    assert_eq!(ran.code, 0, "{}", ran.stderr);
}
