//! The program: everything is in the library.

fn main() -> std::process::ExitCode {
    likewear::run(std::env::args_os())
}
