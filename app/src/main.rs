fn main() {
    ribline_app::start();
}
