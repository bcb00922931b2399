//! Files compiled into the binary: a new one must trigger a rebuild.
fn main() {
    for folder in [
        "migrations",
        "src/catalogue/methods",
        "demo-data",
        "static",
        "templates",
    ] {
        println!("cargo:rerun-if-changed={folder}");
    }
}
