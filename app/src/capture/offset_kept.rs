//! The table of offsets as it stands, kept in this browser as it is typed: half an hour's measuring goes on from there, whatever
//! became of the page.

use super::length::Unit;
use super::offset_rows::{Row, Table, What};
use leptos::prelude::window;

const OFFSETS: &str = "ribline.offsets";
const INCHES: &str = "in";
const MILLIMETRES: &str = "mm";

fn storage() -> Option<web_sys::Storage> {
    window().local_storage().ok().flatten()
}

pub fn find() -> Option<(Table, Unit)> {
    read(&storage()?.get_item(OFFSETS).ok()??)
}

/// Whether there was room for it. A table without figures is none.
pub fn keep(table: &Table, unit: Unit) -> bool {
    let Some(storage) = storage() else { return false };
    if table.rows.iter().any(Row::has_figures) {
        storage.set_item(OFFSETS, &written(table, unit)).is_ok()
    } else {
        storage.remove_item(OFFSETS).is_ok()
    }
}

fn written(table: &Table, unit: Unit) -> String {
    let row = |row: &Row| {
        let [height, left, right] = row.cells.each_ref().map(|cell| cell.replace(['\t', '\n'], " "));
        format!("\n{}\t{height}\t{left}\t{right}", row.what as usize)
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
        let mut cells = cells.splitn(3, '\t').map(str::to_owned);
        Some(Row { what, cells: [cells.next()?, cells.next()?, cells.next()?] })
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
        table.rows[30].cells[2] = "no number\tat all".to_owned();
        let (read, unit) = read(&written(&table, Unit::Inches)).unwrap();
        table.rows[30].cells[2] = "no number at all".to_owned();
        assert_eq!((read, unit), (table, Unit::Inches));
        assert_eq!(super::read("feet\n0\t1\t2\t3"), None);
        assert_eq!(super::read("mm\n9\t1\t2\t3"), None);
        assert_eq!(super::read("mm\n0\t1\t2"), None);
    }
}
