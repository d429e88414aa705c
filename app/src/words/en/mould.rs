//! English: the instruments beside one another, and the mould.

use super::capital;
use crate::number::figure;
use crate::words::mould::{FamilyWords, MouldWords};
use ribline_geometry::mould::{MouldRemark, MouldSetting};
use ribline_geometry::outline::Bout;
use ribline_geometry::recipe::family::SizeName;

pub static FAMILY: FamilyWords = FamilyWords {
    family: "Instruments, to one scale",
    names: ["Violin", "Treble viol", "Viola", "Bass viol", "Cello"],
    choose: |name, mm| format!("{name}, body length {mm} mm"),
    length: |mm| format!("{mm} mm"),
    sizes: "Body length of the",
    size: |name| match name {
        SizeName::Full => "4/4",
        SizeName::SevenEighths => "7/8",
        SizeName::ThreeQuarters => "3/4",
        SizeName::Half => "1/2",
        SizeName::Quarter => "1/4",
        SizeName::Small => "small",
        SizeName::Medium => "medium",
        SizeName::Large => "large",
    },
};

pub static MOULD: MouldWords = MouldWords {
    mould: "Mould and ribs",
    lead: "The inside mould for this recipe at its own length, with recesses for the blocks, and how long to cut each rib. \
           The overhang is that wanted under Edge.",
    way: "Mould\u{2019}s outline",
    parallel: "Parallel to the edge",
    own_arcs: "Arcs of its own",
    parallel_meaning: "The same centres as the edge; every radius less, or in the hollows more, by overhang and rib.",
    own_arcs_meaning: "Fewer arcs, easier to make true, at this plate\u{2019}s length and widths less overhang and rib.",
    recipe_is_mould: "This recipe is a mould\u{2019}s own: its outline is the mould.",
    setting: |setting| match setting {
        MouldSetting::RibThickness => "Thickness of the ribs",
        MouldSetting::LowerCornerAcross | MouldSetting::UpperCornerAcross => "across",
        MouldSetting::LowerCornerAlong | MouldSetting::UpperCornerAlong => "along",
        MouldSetting::LowerWidth | MouldSetting::UpperWidth => "wide",
        MouldSetting::LowerDepth | MouldSetting::UpperDepth => "deep",
        MouldSetting::HolesAlong => "Along each run",
        MouldSetting::HoleDiameter => "Diameter",
        MouldSetting::HoleDistance => "From the edge",
        MouldSetting::CornerAllowance => "At a corner",
        MouldSetting::EndAllowance => "At the centreline",
    },
    lower_corners: "Lower corner blocks, mm",
    upper_corners: "Upper corner blocks, mm",
    lower_block: "Lower block, mm",
    upper_block: "Upper block, mm",
    bored: "Holes for cords or clamps: one behind each block, and more along the edge",
    allowance: "Left over at each end of a rib, mm",
    ribs: "Ribs",
    rib: "Rib",
    rib_name: |run| {
        let bout = match run.bout {
            Bout::Lower => "lower",
            Bout::Waist => "waist",
            Bout::Upper => "upper",
        };
        capital(&format!("{bout} {}", super::side(run.side)))
    },
    in_place: "in place",
    cut: "to cut",
    total: "All six",
    length_note: "In mm. In place: along the middle of the thickness, from the centreline to where two ribs\u{2019} outer faces meet at the corner, \
                  or from corner to corner.",
    remark: |remark| match remark {
        MouldRemark::Vanished { bout, radius } => format!(
            "In the {} the arc of {} mm is tighter than overhang and rib together: the mould has a kink in its place. Round it to what the rib will bend to.",
            bout_name(bout),
            figure(radius, 1)
        ),
        MouldRemark::HolesLeftOut { count } => format!(
            "{count} holes were left out, since they would come too near to an edge or to one another. Make them smaller, fewer, or set them elsewhere."
        ),
        MouldRemark::Narrowed { bout, across } => format!(
            "The {} corner blocks are taken {} mm across: deeper, their inner side would run along the waist.",
            if bout == Bout::Upper { "upper" } else { "lower" },
            figure(across, 1)
        ),
        MouldRemark::LeavesParallel { most } => format!(
            "Its arcs leave the edge\u{2019}s parallel by {} mm at most, {}.",
            figure(most.abs(), 1),
            if most > 0.0 { "outwards" } else { "inwards" }
        ),
    },
    export: "Mould as SVG",
    export_note: "Full size in millimetres, true arcs, in named layers, the rib lengths written on it.",
    file: "mould",
    caution: "Saws, drills and the bending iron cut and burn, and wood dust harms the lungs: local rules, the tool\u{2019}s own manual and your instruction come first. \
              Check the drawing\u{2019}s bars against a steel rule, and the first rib against the mould before cutting the rest.",
};

fn bout_name(bout: Bout) -> &'static str {
    match bout {
        Bout::Lower => "lower bout",
        Bout::Waist => "waist",
        Bout::Upper => "upper bout",
    }
}
