use crate::controls::press;
use crate::words::words;
use crate::worker::requests::{Link, Symbol};
use leptos::prelude::*;

/// The symbol of the link, and the same as large as the screen or a sheet of paper.
#[component]
pub fn SymbolToScan(link: Memo<Option<Link>>, named: Memo<String>) -> impl IntoView {
    let symbol = move || link.with(|link| link.as_ref().map(|link| link.symbol.clone()));
    let large = NodeRef::<leptos::html::Dialog>::new();
    let show = move || {
        // Refused only for one that is open already.
        let _ = large.get_untracked().map(|large| large.show_modal());
    };
    let close = move || {
        if let Some(large) = large.get_untracked() {
            large.close();
        }
    };
    let print = || {
        let _ = window().print();
    };
    let missing = Signal::derive(move || !matches!(symbol(), Some(Ok(_))));
    let read_from = move || match symbol() {
        Some(Ok(symbol)) => (words().teach().read_from)(symbol.widths_away),
        Some(Err(why)) => why,
        None => String::new(),
    };
    let drawn = move |test: &'static str| {
        symbol().and_then(Result::ok).map(|symbol| drawing(test, &symbol, &named.get()))
    };
    let words = words().teach();
    view! {
        <figure class="symbol">
            <figcaption>{words.symbol}</figcaption>
            {move || drawn("share-symbol")}
            <p class="note" data-test="share-symbol-note">{read_from}</p>
            {press("share-large", words.show_large, show).disabled(missing).view()}
        </figure>
        <dialog class="large-symbol" node_ref=large data-test="large-symbol" aria-label=words.symbol>
            {move || drawn("large-symbol-drawing")}
            <p>{named}</p>
            <div class="actions">
                {press("symbol-print", words.print, print).view()}
                {press("symbol-close", words.close, close).view()}
            </div>
        </dialog>
    }
}

/// Black on white in every light: a telephone wants it so.
fn drawing(test: &'static str, symbol: &Symbol, named: &str) -> AnyView {
    let view_box = format!("0 0 {0} {0}", symbol.across);
    let (across, path) = (symbol.across, symbol.path.clone());
    view! {
        <svg viewBox=view_box role="img" aria-label=(words().teach().symbol_of)(named) data-test=test shape-rendering="crispEdges">
            <rect width=across height=across fill="#fff" />
            <path d=path fill="#000" />
        </svg>
    }
    .into_any()
}
