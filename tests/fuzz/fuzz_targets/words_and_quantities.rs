#![no_main]

#[allow(dead_code, reason = "each target uses its part")]
#[path = "../checks.rs"]
mod checks;

libfuzzer_sys::fuzz_target!(|data: &[u8]| {
    let Ok(text) = std::str::from_utf8(data) else { return };
    checks::words(text);
    let (header, cell) = text.split_once('\n').unwrap_or(("length_m", text));
    checks::quantities(header, cell);
});
