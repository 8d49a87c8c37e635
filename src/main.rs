//! The command line of breakcrop.

fn main() -> breakcrop::cli::Outcome {
    breakcrop::cli::run()
}
