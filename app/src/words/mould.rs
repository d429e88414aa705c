//! The words for the instruments beside one another, and for the mould.

use super::Text;
use ribline_geometry::mould::{MouldRemark, MouldSetting};
use ribline_geometry::outline::Run;
use ribline_geometry::recipe::family::SizeName;

pub struct FamilyWords {
    pub family: Text,
    /// In the order of the family.
    pub names: [Text; 5],
    pub choose: fn(name: &str, mm: &str) -> String,
    pub length: fn(mm: &str) -> String,
    pub sizes: Text,
    pub size: fn(SizeName) -> Text,
}

pub struct MouldWords {
    pub mould: Text,
    pub lead: Text,
    pub way: Text,
    pub parallel: Text,
    pub own_arcs: Text,
    pub parallel_meaning: Text,
    pub own_arcs_meaning: Text,
    pub recipe_is_mould: Text,
    pub setting: fn(MouldSetting) -> Text,
    pub lower_corners: Text,
    pub upper_corners: Text,
    pub lower_block: Text,
    pub upper_block: Text,
    pub bored: Text,
    pub allowance: Text,
    pub ribs: Text,
    pub rib: Text,
    pub rib_name: fn(Run) -> String,
    pub in_place: Text,
    pub cut: Text,
    pub total: Text,
    pub length_note: Text,
    pub remark: fn(MouldRemark) -> String,
    pub export: Text,
    pub export_note: Text,
    pub file: Text,
    pub caution: Text,
}
