//! The table of offsets as it stands, kept in this browser as it is typed: half an hour's measuring goes on from there, whatever
//! became of the page.

use super::length::Unit;
use super::offset_rows::{Row, Table, What};
use crate::storage::local;

const OFFSETS: &str = "ribline.offsets";
/// A table that could not be read is set aside here and stays until the maker throws it away.
const SET_ASIDE: &str = "ribline.offsets.set-aside";
const INCHES: &str = "in";
const MILLIMETRES: &str = "mm";
const OWN_HEIGHT: &str = "own height";

pub fn find() -> Option<(Table, Unit)> {
    let storage = local()?;
    let text = storage.get_item(OFFSETS).ok()??;
    let table = read(&text);
    if table.is_none() {
        let earlier = set_aside().map_or(String::new(), |earlier| earlier + "\n\n");
        if storage.set_item(SET_ASIDE, &(earlier + &text)).is_ok() {
            let _ = storage.remove_item(OFFSETS);
        }
    }
    table
}

/// The text of tables that could not be read.
pub fn set_aside() -> Option<String> {
    local()?.get_item(SET_ASIDE).ok().flatten()
}

pub fn forget_set_aside() {
    if let Some(storage) = local() {
        let _ = storage.remove_item(SET_ASIDE);
    }
}

/// Whether there was room for it. A table in which nothing was typed is none.
pub fn keep(table: &Table, unit: Unit) -> bool {
    let Some(storage) = local() else { return false };
    // One that cannot be read, nor set aside for want of room, is not written over.
    if storage.get_item(OFFSETS).ok().flatten().is_some_and(|text| read(&text).is_none()) {
        return false;
    }
    if table.rows.iter().any(Row::is_typed) {
        storage.set_item(OFFSETS, &written(table, unit)).is_ok()
    } else {
        storage.remove_item(OFFSETS).is_ok()
    }
}

fn written(table: &Table, unit: Unit) -> String {
    let row = |row: &Row| {
        let [height, left, right] = row.cells.each_ref().map(|cell| cell.replace(['\t', '\n'], " "));
        let own = if row.own_height { OWN_HEIGHT } else { "" };
        format!("\n{}\t{height}\t{left}\t{right}\t{own}", row.what as usize)
    };
    let unit = if unit == Unit::Inches { INCHES } else { MILLIMETRES };
    std::iter::once(unit.to_owned()).chain(table.rows.iter().map(row)).collect()
}

fn read(text: &str) -> Option<(Table, Unit)> {
    let (unit, rows) = text.split_once('\n')?;
    let unit = match unit {
        MILLIMETRES => Unit::Millimetres,
        INCHES => Unit::Inches,
        _ => return None,
    };
    let row = |line: &str| {
        let (what, cells) = line.split_once('\t')?;
        let what = What::ALL.into_iter().find(|one| (*one as usize).to_string() == what)?;
        let mut parts = cells.split('\t');
        let mut cell = || parts.next().map(str::to_owned);
        let cells = [cell()?, cell()?, cell()?];
        Some(Row { what, cells, own_height: parts.next() == Some(OWN_HEIGHT) })
    };
    let rows = rows.split('\n').map(row).collect::<Option<Vec<Row>>>()?;
    Some((Table { rows }, unit))
}

#[cfg(test)]
mod tests {
    use super::*;
    #[cfg(target_arch = "wasm32")]
    use wasm_bindgen_test::wasm_bindgen_test as test;

    #[test]
    fn a_table_is_read_as_it_was_written() {
        let mut table = Table::laid_out(0.5, 14.0, Unit::Inches);
        table.rows[2].cells[1] = "3 1/4".to_owned();
        table.rows[3].cells[0] = "3".to_owned();
        table.rows[3].own_height = true;
        table.rows[30].cells[2] = "no number\tat all".to_owned();
        let (read, unit) = read(&written(&table, Unit::Inches)).unwrap();
        table.rows[30].cells[2] = "no number at all".to_owned();
        assert_eq!((read, unit), (table, Unit::Inches));
        assert_eq!(super::read("mm\n0\t1\t2\t3").unwrap().0.rows[0].cells, ["1", "2", "3"]);
        assert_eq!(super::read("feet\n0\t1\t2\t3"), None);
        assert_eq!(super::read("mm\n9\t1\t2\t3"), None);
        assert_eq!(super::read("mm\n0\t1\t2"), None);
    }
}
