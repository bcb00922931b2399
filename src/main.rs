//! The program: everything is in the library.

fn main() -> std::process::ExitCode {
    likewear::cli::run(std::env::args_os())
}
