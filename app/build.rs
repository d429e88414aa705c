fn main() {
    // What takes the page apart has to know which function or table needs which others.
    if std::env::var_os("CARGO_FEATURE_PARTS").is_some() {
        println!("cargo::rustc-link-arg-bin=ribline-app=--emit-relocs");
    }
    println!("cargo::rerun-if-changed=build.rs");
}
