#![no_main]

#[allow(dead_code, reason = "each target uses its part")]
#[path = "../checks.rs"]
mod checks;

libfuzzer_sys::fuzz_target!(|data: &[u8]| {
    let texts: Vec<String> =
        data.split(|byte| *byte == 0).map(|text| String::from_utf8_lossy(text).into()).collect();
    checks::pages(&texts);
});
