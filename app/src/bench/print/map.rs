use crate::controls::When;
use crate::store::use_store;
use crate::words::words;
use crate::worker::requests::bench::LaidOut;
use kurbo::Rect;
use leptos::prelude::*;
use ribline_geometry::bench::print::wish::Pages;

/// A page's number, in parts of the map's longer side.
const NUMBER: f64 = 0.085;

/// How the drawing is laid over the sheets, small, and what is to be known of it.
#[component]
pub fn SheetMap(laid: RwSignal<Option<Result<LaidOut, String>>>) -> impl IntoView {
    let store = use_store();
    let pages = store.part(|project| project.bench_wish().print.pages);
    let good = move || laid.with(|laid| laid.as_ref()?.as_ref().ok().cloned());
    let words = &words().bench().print;
    let map = move || good().map(|laid| picture(&laid, pages.get()));
    let told = move || {
        good().map(|laid| {
            let paper = match pages.get() {
                Pages::One => None,
                Pages::Sheets(paper) => Some(paper.name()),
            };
            (words.sheets)(laid.sheets.len(), paper)
        })
    };
    let statements = move || {
        good().map(|laid| laid.statements.into_iter().map(|text| view! { <li>{text}</li> }).collect_view())
    };
    view! {
        <div class="sheet-map">
            {map}
            <div>
                <p data-test="print-sheets" aria-live="polite">{told}</p>
                <ul class="remarks" data-test="print-statements">{statements}</ul>
                <When holds=move || laid.with(Option::is_none)>
                    <p class="note">{words.laying_out}</p>
                </When>
            </div>
        </div>
    }
}

fn picture(laid: &LaidOut, pages: Pages) -> AnyView {
    let whole = laid.sheets.iter().fold(laid.bounds, |whole, sheet| whole.union(*sheet)).inflate(3.0, 3.0);
    let size = NUMBER * whole.width().max(whole.height());
    let sheets = laid.sheets.iter().map(|sheet| {
        let Rect { x0, y1, .. } = *sheet;
        view! {
            <rect
                x=format!("{x0:.1}")
                y=format!("{:.1}", -y1)
                width=format!("{:.1}", sheet.width())
                height=format!("{:.1}", sheet.height())
            />
        }
    });
    let numbers = laid.sheets.iter().enumerate().filter(|_| pages != Pages::One).map(|(k, sheet)| {
        // In the middle of what is drawn there.
        let at = sheet.intersect(laid.bounds).center();
        view! {
            <text x=format!("{:.1}", at.x) y=format!("{:.1}", -at.y) font-size=format!("{size:.1}")>
                {k + laid.first_page}
            </text>
        }
    });
    let (w, h) = (whole.width(), whole.height());
    view! {
        <svg
            class="map"
            data-test="print-map"
            data-sheets=laid.sheets.len().to_string()
            role="img"
            aria-label=words().bench().print.map
            viewBox=format!("{:.1} {:.1} {w:.1} {h:.1}", whole.x0, -whole.y1)
        >
            {sheets.collect_view()}
            <path d=laid.line.clone() transform="scale(1 -1)" />
            {numbers.collect_view()}
        </svg>
    }
    .into_any()
}
