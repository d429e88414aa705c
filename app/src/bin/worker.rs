//! The program of the web worker: see `ribline_app::worker`.

fn main() {
    ribline_app::worker::serve();
}
