use super::moulded::use_moulded;
use crate::controls::{Choice, Column, FigureTable, NumberField, Row, When, press};
use crate::number::{Within, figure};
use crate::showing::use_showing;
use crate::storage::files::{file_name, save};
use crate::store::{Change, use_store};
use crate::words::words;
use leptos::prelude::*;
use ribline_geometry::bench::mould::mould_svg;
use ribline_geometry::mould::{Mould, MouldSetting, MouldWay};
use ribline_geometry::outline::Run;
use ribline_geometry::recipe::Purpose;

const WAYS: [MouldWay; 2] = [MouldWay::Parallel, MouldWay::OwnArcs];

/// The mould and the ribs for the recipe. While it is open the mould is drawn.
#[component]
pub fn MouldPanel() -> impl IntoView {
    let showing = use_showing();
    let open = showing.mould;
    // Left for another step with the panel open, the mould is there again on the way back.
    let was_open = open.get_untracked();
    let toggled = move |event: web_sys::Event| {
        let is_open = event_target::<web_sys::Element>(&event).has_attribute("open");
        if open.get_untracked() != is_open {
            open.set(is_open);
        }
    };
    view! {
        <details class="mould" data-test="mould" prop:open=was_open on:toggle=toggled>
            <summary>{words().mould().mould}</summary>
            <When holds=open>
                <Inside />
            </When>
        </details>
    }
}

#[component]
fn Inside() -> impl IntoView {
    let store = use_store();
    let mould = use_moulded();
    let own_arcs = store.part(|project| project.mould_wish().way == MouldWay::OwnArcs);
    let of_mould = store.part(|project| project.recipe.purpose == Purpose::Mould);
    let bored = store.part(|project| project.mould_wish().bored);
    let of_edge = Memo::new(move |_| !of_mould.get());
    let words = words().mould();
    let meaning = move || if own_arcs.get() { words.own_arcs_meaning } else { words.parallel_meaning };
    let trouble = move || mould.with(|mould| mould.as_ref().err().cloned());
    view! {
        <p class="note">{words.lead}</p>
        <p class="trouble" role="alert" data-test="error-mould">{trouble}</p>
        <When holds=of_mould>
            <p class="note">{words.recipe_is_mould}</p>
        </When>
        <When holds=of_edge>
            <Choice
                legend=words.way
                test="mould-way"
                options=vec![("parallel", words.parallel), ("own-arcs", words.own_arcs)]
                chosen=Signal::derive(move || Some(usize::from(own_arcs.get())))
                on_change=Callback::new(move |place: usize| store.change(Change::MouldWay(WAYS[place])))
                meaning=Signal::derive(meaning)
            />
        </When>
        <Remarks />
        <Lengths />
        {field(MouldSetting::RibThickness, "mm", 1)}
        {group(words.allowance, &[MouldSetting::CornerAllowance, MouldSetting::EndAllowance])}
        <div class="blocks">
            {group(words.upper_block, &[MouldSetting::UpperWidth, MouldSetting::UpperDepth])}
            {group(words.lower_block, &[MouldSetting::LowerWidth, MouldSetting::LowerDepth])}
            {group(words.upper_corners, &[MouldSetting::UpperCornerAcross, MouldSetting::UpperCornerAlong])}
            {group(words.lower_corners, &[MouldSetting::LowerCornerAcross, MouldSetting::LowerCornerAlong])}
        </div>
        <label class="toggle">
            <input
                type="checkbox"
                data-test="mould-bored"
                prop:checked=move || bored.get()
                on:change=move |event| store.change(Change::MouldBored(event_target_checked(&event)))
            />
            <span>{words.bored}</span>
        </label>
        <When holds=bored>
            <div class="row">
                {field(MouldSetting::HolesAlong, "", 0)}
                {field(MouldSetting::HoleDiameter, "mm", 1)}
                {field(MouldSetting::HoleDistance, "mm", 1)}
            </div>
        </When>
        <Export />
        <p class="note" data-test="mould-caution">{words.caution}</p>
    }
}

fn field(setting: MouldSetting, unit: &'static str, decimals: usize) -> AnyView {
    number(setting, unit, false, decimals)
}

fn number(setting: MouldSetting, unit: &'static str, unit_hidden: bool, decimals: usize) -> AnyView {
    let store = use_store();
    let value = store.part(move |project| project.mould_wish().get(setting));
    let (least, most) = setting.within();
    view! {
        <NumberField
            label=(words().mould().setting)(setting)
            unit
            unit_hidden
            test=format!("mould-{}", setting.key())
            value
            within=Within::new(least, most)
            decimals
            on_change=move |mm| store.change(Change::Mould(setting, mm))
        />
    }
    .into_any()
}

/// Two or three numbers under one heading, which says their unit.
fn group(legend: &'static str, settings: &[MouldSetting]) -> AnyView {
    let fields = settings.iter().map(|setting| number(*setting, "mm", true, 1)).collect_view();
    view! {
        <fieldset class="settings">
            <legend>{legend}</legend>
            <div class="row">{fields}</div>
        </fieldset>
    }
    .into_any()
}

/// What is to be known of how the mould came out.
#[component]
fn Remarks() -> impl IntoView {
    let mould = use_moulded();
    let remarks = move || {
        let remarks = mould.with(|mould| {
            let remark = words().mould().remark;
            mould.as_ref().map(|mould| mould.remarks.iter().map(|r| remark(*r)).collect()).unwrap_or_default()
        });
        let remarks: Vec<String> = remarks;
        remarks.into_iter().map(|text| view! { <li>{text}</li> }).collect_view()
    };
    view! { <ul class="mould-remarks" aria-live="polite" data-test="mould-remarks">{remarks}</ul> }
}

#[component]
fn Lengths() -> impl IntoView {
    let mould = use_moulded();
    let rows =
        Memo::new(move |_| mould.with(|mould| mould.as_ref().map(|mould| rows(mould)).unwrap_or_default()));
    let words = words().mould();
    view! {
        <h3>{words.ribs}</h3>
        <FigureTable
            test="rib-lengths"
            name_title=words.rib
            columns=vec![Column::figures(words.in_place), Column::figures(words.cut)]
            rows
        />
        <p class="note">{words.length_note}</p>
    }
}

fn rows(mould: &Mould) -> Vec<Row> {
    let row = |test: String, name: String, in_place: f64, cut: f64| Row {
        test,
        name,
        cells: vec![figure(in_place, 1), figure(cut, 0)],
        ..Row::default()
    };
    let named = |run: Run| (words().mould().rib_name)(run);
    // From the bottom up, left beside right, as the strips are laid out in pairs.
    [5, 0, 4, 1, 3, 2]
        .into_iter()
        .filter_map(|place: usize| mould.ribs.get(place))
        .map(|rib| row(format!("rib-{}", rib.run), named(rib.run), rib.in_place_read(), rib.cut_whole()))
        .chain([row(
            "rib-total".to_owned(),
            words().mould().total.to_owned(),
            mould.total_in_place(),
            mould.total_cut(),
        )])
        .collect()
}

#[component]
fn Export() -> impl IntoView {
    let store = use_store();
    let mould = use_moulded();
    let nothing = Signal::derive(move || mould.with(Result::is_err));
    let export = move || {
        mould.with_untracked(|mould| {
            if let Ok(mould) = mould {
                store.project().with_untracked(|project| {
                    let name = file_name(&[&project.title, words().mould().file], "svg");
                    save(&name, "image/svg+xml", &mould_svg(project, mould));
                });
            }
        });
    };
    let words = words().mould();
    view! {
        <div class="actions">
            {press("export-mould", words.export, export).class("chief").disabled(nothing).view()}
            <span class="note">{words.export_note}</span>
        </div>
    }
}
