#![no_main]

#[allow(dead_code, reason = "each target uses its part")]
#[path = "../checks.rs"]
mod checks;

libfuzzer_sys::fuzz_target!(|data: &[u8]| {
    let path = std::env::temp_dir().join(format!("breakcrop-fuzz-{}", std::process::id()));
    checks::database(&path, data);
});
