use crate::controls::NumberField;
use crate::number::Within;
use crate::store::{BenchChange, Change, use_store};
use crate::words::words;
use leptos::prelude::*;
use ribline_geometry::bench::setting::BenchSetting;

/// A field for one of the bench's numbers. It has the name `field-bench-…` for tests.
pub fn field(setting: BenchSetting, decimals: usize) -> AnyView {
    let label = (words().bench().setting)(setting).to_owned();
    labelled(label, setting, decimals, false)
}

/// As [`field`], where the heading beside it says the unit.
pub fn labelled(label: String, setting: BenchSetting, decimals: usize, unit_hidden: bool) -> AnyView {
    let store = use_store();
    let value = store.part(move |project| project.bench_wish().get(setting));
    let (least, most) = setting.within();
    view! {
        <NumberField
            label
            unit="mm"
            unit_hidden
            test=format!("bench-{}", key(setting))
            value
            within=Within::new(least, most)
            decimals
            on_change=move |mm| store.change(Change::Bench(BenchChange::Number(setting, mm)))
        />
    }
    .into_any()
}

fn key(setting: BenchSetting) -> String {
    let plain = match setting {
        BenchSetting::CompassStep => "compass-step",
        BenchSetting::WoodAround => "wood-around",
        BenchSetting::PurflingWidth => "purfling-width",
        BenchSetting::PurflingLean(corner) => return format!("purfling-lean-{corner}"),
        BenchSetting::ButtonWidth => "button-width",
        BenchSetting::ButtonHeight => "button-height",
        BenchSetting::ButtonFlank => "button-flank",
        BenchSetting::NeckOff => "neck-off",
        BenchSetting::ButtonRoot => "button-root",
        BenchSetting::LeftForTheFile => "left-for-the-file",
        BenchSetting::PointSpacing => "point-spacing",
        BenchSetting::Overlap => "overlap",
        BenchSetting::Margin => "margin",
        BenchSetting::MeasuredAcross => "measured-across",
        BenchSetting::MeasuredUp => "measured-up",
    };
    plain.to_owned()
}
