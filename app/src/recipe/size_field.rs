use super::composing::use_composing;
use super::typed::{Typed, read_size};
use crate::controls::{Select, When, press};
use crate::number::{entered, figure};
use crate::results::use_results;
use crate::words::words;
use leptos::prelude::*;
use ribline_geometry::order::sort_by_value;
use ribline_geometry::ratio::Ratio;
use ribline_geometry::recipe::{Edit, Recipe, Size, SizeOf};

/// The length of a measure at its place, in mm.
fn length_of(recipe: &Recipe, name: &str, lengths: &[Option<f64>]) -> Option<f64> {
    let place = recipe.measures.iter().position(|measure| measure.name == name)?;
    lengths.get(place).copied().flatten()
}

/// A size: stepped or typed, a part of one measure or of another, or a length in mm.
#[component]
pub fn SizeField(of: SizeOf, label: &'static str) -> impl IntoView {
    let (composing, results) = (use_composing(), use_results());
    let recipe = use_results().recipe;
    let size = use_results().told(move |recipe| of.within(recipe).cloned());
    let ratio = Memo::new(move |_| size.with(|size| ratio_of(size.as_ref())));
    // As stepped to, which may be more than lowest terms: from 5/6 the upper number goes to 4/6, not to 2/3.
    let stepped = RwSignal::new((0u16, 0u16));
    // The ratio that stays among those offered when it is stepped away from: the last one chosen.
    let chosen = StoredValue::new(ratio.get_untracked());
    let unlike = RwSignal::new(None::<String>);
    // Ratios near to a length typed for a measure, which has to be a ratio.
    let near = RwSignal::new(Vec::<Ratio>::new());
    let measures = Memo::new(move |_| {
        recipe.with(|recipe| {
            let before = if let SizeOf::Measure(k) = of { k } else { usize::MAX };
            let names = recipe.measures.iter().take(before);
            names.map(|measure| (measure.name.clone(), measure.title.clone())).collect::<Vec<_>>()
        })
    });
    let mm = Memo::new(move |_| {
        let lengths = results.drawn.with(|drawn| drawn.lengths.clone());
        recipe.with(|recipe| size.with(|size| size.as_ref()?.mm(recipe, &lengths)))
    });
    let whole = move || match size.get_untracked() {
        Some(Size::Ratio { of, .. }) => of,
        // The widths are what most is a part of.
        _ => {
            measures.with_untracked(|all| all.get(1).or(all.first()).map(|m| m.0.clone()).unwrap_or_default())
        }
    };
    let set = move |to: Option<Size>| {
        unlike.set(None);
        near.set(Vec::new());
        let offers = recipe.with_untracked(|recipe| !of.part().choices(recipe).is_empty());
        let keep = chosen.get_value().filter(|_| offers);
        composing.edit(Edit::Size { of, to, keep });
    };
    let set_ratio = move |ratio: Ratio| set(Some(Size::Ratio { ratio, of: whole() }));
    let terms = move || {
        let (over, under) = stepped.get();
        let now = ratio.get()?;
        Some(if Ratio::new(over, under) == Ok(now) { (over, under) } else { (now.over(), now.under()) })
    };
    let step = move |over: i32, under: i32| {
        let Some((a, b)) = untrack(terms) else { return };
        let by = |term: u16, by: i32| u16::try_from(i32::from(term) + by).unwrap_or(0);
        let (a, b) = (by(a, over), by(b, under));
        if let Ok(ratio) = Ratio::new(a, b) {
            stepped.set((a, b));
            set_ratio(ratio);
        }
    };
    let choose = move |ratio: Ratio| {
        set_ratio(ratio);
        chosen.set_value(Some(ratio));
    };
    let near_to = move |mm: f64, of: &str| {
        let lengths = results.drawn.with_untracked(|drawn| drawn.lengths.clone());
        let whole = recipe.with_untracked(|recipe| length_of(recipe, of, &lengths));
        whole.map(|whole| Ratio::near(mm, whole)).unwrap_or_default()
    };
    let take = move |text: String| match read_size(&text) {
        Some(Typed::Ratio(ratio)) => {
            stepped.set((ratio.over(), ratio.under()));
            set_ratio(ratio);
        }
        Some(Typed::Mm(mm)) if matches!(of, SizeOf::Measure(_)) => {
            let of = whole();
            let title = measures.with_untracked(|all| {
                all.iter().find(|(name, _)| *name == of).map(|(_, title)| title.clone()).unwrap_or_default()
            });
            near.set(near_to(mm, &of));
            unlike.set(Some((words().recipe().measure_in_mm)(&entered(mm, 2), &title)));
        }
        Some(Typed::Mm(mm)) => set(Some(Size::Mm(mm))),
        None => unlike.set(Some(words().recipe().typed_unlike.to_string())),
    };
    let shown = move || match size.get() {
        Some(Size::Ratio { ratio, .. }) => ratio.to_string(),
        Some(Size::Mm(mm)) => format!("{} mm", entered(mm, 2)),
        None => String::new(),
    };

    // What it is a part of: none, one of the measures, or a length of its own.
    let may_be_none = matches!(of, SizeOf::Up(_) | SizeOf::Out(_));
    let may_be_mm = !matches!(of, SizeOf::Measure(_));
    let parts = move || {
        let titles =
            measures.get().into_iter().map(|(name, title)| if title.is_empty() { name } else { title });
        let none = may_be_none.then(|| words().recipe().none_of.to_string());
        let mm = may_be_mm.then(|| words().recipe().in_mm.to_string());
        none.into_iter().chain(titles).chain(mm).collect::<Vec<String>>()
    };
    let first = usize::from(may_be_none);
    let part = move || match size.get() {
        None => Some(0),
        Some(Size::Ratio { of, .. }) => {
            measures.with(|all| all.iter().position(|(name, _)| *name == of)).map(|place| place + first)
        }
        Some(Size::Mm(_)) => Some(measures.with(Vec::len) + first),
    };
    let take_part = move |place: usize| {
        let name = measures.with_untracked(|all| all.get(place.wrapping_sub(first)).map(|m| m.0.clone()));
        let now = mm.get_untracked();
        match (name, size.get_untracked()) {
            _ if may_be_none && place == 0 => set(None),
            (Some(name), Some(Size::Ratio { ratio, .. })) => set(Some(Size::Ratio { ratio, of: name })),
            (Some(name), _) => {
                let ratio = now.and_then(|mm| near_to(mm, &name).first().copied());
                let ratio = ratio.or(Ratio::new(1, 2).ok()).unwrap_or(Ratio::ONE);
                set(Some(Size::Ratio { ratio, of: name }));
            }
            (None, _) => set(Some(Size::Mm((now.unwrap_or(10.0) * 10.0).round() / 10.0))),
        }
    };
    // A ratio that was not stepped to was chosen, or brought back.
    Effect::new(move |_| {
        let now = ratio.get();
        let (over, under) = stepped.get_untracked();
        if now.is_some() && now != Ratio::new(over, under).ok() {
            chosen.set_value(now);
        }
    });
    let all_offered = use_results().told(move |recipe| offered(recipe, of));
    let suggested = move || match size.get() {
        Some(Size::Mm(mm)) => near_to(mm, &whole()),
        _ => near.get(),
    };
    let words = words().recipe();
    let test = match of {
        SizeOf::Up(_) => "up",
        SizeOf::Out(_) => "out",
        SizeOf::Measure(_) | SizeOf::Radius(_) => "size",
    };
    let stepper = move |what: &'static str, upper: bool| {
        let by = move |by: i32| if upper { step(by, 0) } else { step(0, by) };
        let key = if upper { "over" } else { "under" };
        let less =
            press(format!("{test}-{key}-less"), "\u{2212}", move || by(-1)).titled((words.less)(what)).view();
        let more = press(format!("{test}-{key}-more"), "+", move || by(1)).titled((words.more)(what)).view();
        let term = move || terms().map(|(a, b)| if upper { a } else { b });
        view! { <span class="stepper">{less}<output>{term}</output>{more}</span> }.into_any()
    };
    view! {
        <fieldset class="size">
            <legend>{label}" "<output class="mm">{move || mm.get().map(|mm| format!("{} mm", figure(mm, 1)))}</output></legend>
            <div class="ratio-of">
                <When holds=move || ratio.get().is_some()>
                    <span class="fraction">{stepper(words.over, true)}{stepper(words.under, false)}</span>
                </When>
                <div class="typed-of">
                    <When holds=move || size.with(Option::is_some)>
                        <input
                            type="text"
                            class="typed"
                            aria-label=words.ratio
                            data-test=format!("{test}-typed")
                            autocomplete="off"
                            prop:value=shown
                            on:change=move |event| take(event_target_value(&event))
                        />
                    </When>
                    <Select
                        label=words.part_of
                        label_hidden=true
                        test=format!("{test}-of")
                        options=Signal::derive(parts)
                        chosen=Signal::derive(part)
                        on_change=take_part
                    />
                </div>
            </div>
            <Chips ratios=all_offered now=ratio on_choose=choose />
            <When holds=move || matches!(size.get(), Some(Size::Mm(_)))>
                <p class="departure">{words.departs}</p>
            </When>
            <p class="trouble" role="alert" data-test=format!("{test}-trouble")>{move || unlike.get()}</p>
            <Chips ratios=Signal::derive(suggested) now=ratio on_choose=choose />
        </fieldset>
    }
}

/// The ratios that the author offers for a measure, one touch away while its sentence is closed.
#[component]
pub fn Offered(of: SizeOf) -> impl IntoView {
    let composing = use_composing();
    let ratio = use_results().told(move |recipe| ratio_of(of.within(recipe)));
    let all = use_results().told(move |recipe| offered(recipe, of));
    let choose = move |to: Ratio| {
        let size = composing.with_recipe(|recipe| of.within(recipe).cloned());
        if let Some(Size::Ratio { ratio, of: whole }) = size {
            composing.edit(Edit::Size {
                of,
                to: Some(Size::Ratio { ratio: to, of: whole }),
                keep: Some(ratio),
            });
        }
    };
    view! { <Chips ratios=all now=ratio on_choose=choose /> }
}

/// Whether the ratio in use stays on offer when another is taken, or no other is offered any more.
#[component]
pub fn OfferThis(of: SizeOf) -> impl IntoView {
    let composing = use_composing();
    let ratio = use_results().told(move |recipe| ratio_of(of.within(recipe)));
    let none = use_results().told(move |recipe| of.part().choices(recipe).is_empty());
    let offer = move || {
        let ratios = ratio.get_untracked().filter(|_| none.get_untracked());
        composing.edit(Edit::Offered(of.part(), ratios.into_iter().collect()));
    };
    let label = move || if none.get() { words().recipe().offer_this } else { words().recipe().offer_none };
    let button = press("offer-this", "", offer)
        .class("slight")
        .labelled(Signal::derive(move || label().to_string()))
        .disabled(Signal::derive(move || ratio.get().is_none()));
    button.view()
}

fn ratio_of(size: Option<&Size>) -> Option<Ratio> {
    match size {
        Some(Size::Ratio { ratio, .. }) => Some(*ratio),
        _ => None,
    }
}

/// The ratio in use and those offered besides it, smallest first; none where there is nothing to choose between.
fn offered(recipe: &Recipe, of: SizeOf) -> Vec<Ratio> {
    let mut all = of.part().choices(recipe).to_vec();
    if all.is_empty() || matches!(of, SizeOf::Up(_) | SizeOf::Out(_)) {
        return Vec::new();
    }
    all.extend(ratio_of(of.within(recipe)).filter(|ratio| !all.contains(ratio)));
    sort_by_value(&mut all, |ratio| ratio.value());
    all
}

/// Ratios to choose between. They stay as they are, with the focus on one of them, while the one in use changes.
#[component]
fn Chips(
    #[prop(into)] ratios: Signal<Vec<Ratio>>,
    #[prop(into)] now: Signal<Option<Ratio>>,
    #[prop(into)] on_choose: Callback<Ratio>,
) -> impl IntoView {
    let ratios = Memo::new(move |_| ratios.get());
    let chips = move || {
        let chips = ratios.get().into_iter().map(|one| {
            press("choice", one.to_string(), move || on_choose.run(one))
                .class("chip")
                .pressed(Signal::derive(move || now.get() == Some(one)))
                .view()
        });
        chips.collect_view()
    };
    view! {
        <div class="chips" role="group" aria-label=words().recipe().offered class:hidden=move || ratios.with(Vec::is_empty)>
            {move || chips()}
        </div>
    }
}
