#![no_main]

#[allow(dead_code, reason = "each target uses its part")]
#[path = "../checks.rs"]
mod checks;

use breakcrop::records::RecordKind;

libfuzzer_sys::fuzz_target!(|data: &[u8]| {
    let Some((first, bytes)) = data.split_first() else { return };
    let kind = RecordKind::ALL[usize::from(*first) % RecordKind::ALL.len()];
    checks::records(kind, bytes);
});
