#![no_main]

#[allow(dead_code, reason = "each target uses its part")]
#[path = "../checks.rs"]
mod checks;

use breakcrop::knowledge::Tables;

// The first line names the table; what is no name is a number among the tables.
libfuzzer_sys::fuzz_target!(|data: &[u8]| {
    let end = data.iter().position(|byte| *byte == b'\n').unwrap_or(data.len());
    let (first, bytes) = (&data[..end], data.get(end + 1..).unwrap_or_default());
    let names: Vec<&str> = Tables::file_names().collect();
    let number = first.iter().fold(0_usize, |sum, byte| sum + usize::from(*byte));
    let named = names.iter().find(|name| name.as_bytes() == first);
    checks::small_tables(named.unwrap_or(&names[number % names.len()]), bytes);
});
