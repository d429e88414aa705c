use leptos::prelude::*;
fn main() {
    mount_to_body(|| view! { <p>"Ribline"</p> });
}
