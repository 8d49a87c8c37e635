#![no_main]

#[allow(dead_code, reason = "each target uses its part")]
#[path = "../checks.rs"]
mod checks;

libfuzzer_sys::fuzz_target!(|data: &[u8]| checks::plans(data));
