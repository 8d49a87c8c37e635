//! EPPO codes have one of the forms that the codes have: five capitals for plants, six for other
//! organisms; viruses close in zeros (`TSWV00`), ranks above the species open with 1 and close in
//! G, F or the like (`1MELGG`).

use super::book::Book;
use super::{Fault, LintRule};
use crate::tabular::Problem;

pub(super) fn check(book: &Book) -> Vec<Fault> {
    let mut faults = Vec::new();
    for (file, plants) in [("crops.csv", true), ("pathogens.csv", false)] {
        let sheet = book.sheet(file);
        for row in &sheet.rows {
            let code = sheet.cell(row, "eppo_code");
            if !code.is_empty() && !has_form(code, plants) {
                let hint = if plants {
                    "a plant's code is five capitals, like LYPES; leave it blank if unsure"
                } else {
                    "a code is six capitals, like VERTDA; leave it blank if unsure"
                };
                faults.push(sheet.fault(
                    LintRule::EppoForm,
                    row,
                    "eppo_code",
                    Problem::Other("not the form of an EPPO code"),
                    hint,
                ));
            }
        }
    }
    faults
}

fn has_form(code: &str, plants: bool) -> bool {
    let capitals = |text: &str| text.bytes().all(|byte| byte.is_ascii_uppercase());
    if !code.is_ascii() || !(5..=6).contains(&code.len()) {
        return false;
    }
    let whole = capitals(code) && (plants || code.len() == 6);
    let virus = !plants && code.len() == 6 && {
        let stem = code.trim_end_matches('0');
        stem.len() >= 4 && stem.len() < 6 && capitals(stem)
    };
    let rank = code.len() == 6 && code.starts_with('1') && capitals(&code[1..]);
    whole || virus || rank
}

#[cfg(test)]
mod tests {
    use super::has_form;

    #[test]
    fn forms_of_plants_pests_viruses_and_genera() {
        assert!(has_form("LYPES", true));
        assert!(has_form("VERTDA", false));
        assert!(has_form("TSWV00", false));
        assert!(has_form("1MELGG", false));
        assert!(!has_form("VERT", false));
        assert!(!has_form("Lypes", true));
        assert!(!has_form("VERTD1", false));
    }
}
