//! The program that takes the line at the bench: see `ribline_app::capture`.

fn main() {
    ribline_app::capture::start();
}
