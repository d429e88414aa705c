use kurbo::Size;
use leptos::prelude::*;
use wasm_bindgen::JsCast;
use wasm_bindgen::closure::Closure;

/// Keeps `size` to the size of an element, in pixels, as the page is laid out anew.
pub fn follow_size(element: impl Fn() -> Option<web_sys::Element> + 'static, size: RwSignal<Size>) {
    let observer = StoredValue::new_local(None::<(web_sys::ResizeObserver, Closure<dyn FnMut()>)>);
    Effect::new(move |_| {
        let Some(element) = element() else { return };
        let measured = element.clone();
        let measure = move || {
            let rect = measured.get_bounding_client_rect();
            let now = Size::new(rect.width(), rect.height());
            if now.width > 0.0 && now.height > 0.0 && size.get_untracked() != now {
                size.set(now);
            }
        };
        measure();
        let closure = Closure::<dyn FnMut()>::new(measure);
        if let Ok(watching) = web_sys::ResizeObserver::new(closure.as_ref().unchecked_ref()) {
            watching.observe(&element);
            observer.set_value(Some((watching, closure)));
        }
    });
    on_cleanup(move || {
        observer.try_update_value(|watching| {
            if let Some((watching, _)) = watching {
                watching.disconnect();
            }
        });
    });
}
