#![no_main]

#[allow(dead_code, reason = "each target uses its part")]
#[path = "../checks.rs"]
mod checks;

use breakcrop::knowledge::Tables;

libfuzzer_sys::fuzz_target!(|data: &[u8]| {
    let names: Vec<&str> = Tables::file_names().collect();
    let Some((first, bytes)) = data.split_first() else { return };
    checks::tables(names[usize::from(*first) % names.len()], bytes);
});
