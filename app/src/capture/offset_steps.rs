//! The table of offsets as it is changed: every change can be taken back and done again, a cell's typing as one.

use super::length::Unit;
use super::offset_rows::{Column, Row, Table, What};
use leptos::prelude::*;

/// Changes that can be taken back: more than a table has cells of one side.
const MOST: usize = 100;

type Stood = (Table, Unit);

#[derive(Default)]
struct Steps {
    back: Vec<Stood>,
    again: Vec<Stood>,
    /// The cell that was typed in last.
    at: Option<(usize, Column)>,
}

#[derive(Clone, Copy)]
pub struct Entry {
    pub table: RwSignal<Table>,
    pub unit: RwSignal<Unit>,
    steps: RwSignal<Steps>,
}

impl Entry {
    pub fn new(table: Table, unit: Unit) -> Entry {
        Entry {
            table: RwSignal::new(table),
            unit: RwSignal::new(unit),
            steps: RwSignal::new(Steps::default()),
        }
    }

    fn stands(self) -> Stood {
        (self.table.get_untracked(), self.unit.get_untracked())
    }

    /// Types in a cell.
    pub fn type_in(self, row: usize, column: Column, typed: String) {
        let goes_on = self.steps.with_untracked(|steps| steps.at == Some((row, column)));
        if !goes_on {
            self.note(self.stands());
            self.steps.update(|steps| steps.at = Some((row, column)));
        }
        self.table.update(|table| {
            if let Some(row) = table.rows.get_mut(row) {
                row.cells[column as usize] = typed;
                row.own_height |= column == Column::Height;
            }
        });
    }

    /// Changes the table, and the unit in which its figures are read.
    pub fn change(self, to: Table, unit: Unit) {
        let stood = self.stands();
        if stood == (to.clone(), unit) {
            return;
        }
        self.note(stood);
        self.set((to, unit));
    }

    pub fn choose(self, row: usize, what: What) {
        let (mut table, unit) = self.stands();
        if let Some(row) = table.rows.get_mut(row) {
            row.what = what;
        }
        self.change(table, unit);
    }

    pub fn add(self, row: Row) {
        let (mut table, unit) = self.stands();
        table.rows.push(row);
        self.change(table, unit);
    }

    fn note(self, stood: Stood) {
        self.steps.update(|steps| {
            steps.back.push(stood);
            let over = steps.back.len().saturating_sub(MOST);
            steps.back.drain(..over);
            steps.again.clear();
            steps.at = None;
        });
    }

    fn set(self, (table, unit): Stood) {
        self.table.set(table);
        self.unit.set(unit);
    }

    pub fn take_back(self) {
        self.step(|steps| (&mut steps.back, &mut steps.again));
    }

    pub fn do_again(self) {
        self.step(|steps| (&mut steps.again, &mut steps.back));
    }

    /// Back or forth, as is told of: where the table comes from, and where it goes as it stands.
    fn step(self, ways: fn(&mut Steps) -> (&mut Vec<Stood>, &mut Vec<Stood>)) {
        let stands = self.stands();
        let stood = self.steps.try_update(|steps| {
            let (from, to) = ways(steps);
            let stood = from.pop()?;
            to.push(stands);
            steps.at = None;
            Some(stood)
        });
        if let Some(stood) = stood.flatten() {
            self.set(stood);
        }
    }

    /// Whether there is nothing to take back, and nothing to do again.
    pub fn none_back(self) -> Signal<bool> {
        Signal::derive(move || self.steps.with(|steps| steps.back.is_empty()))
    }

    pub fn none_again(self) -> Signal<bool> {
        Signal::derive(move || self.steps.with(|steps| steps.again.is_empty()))
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    #[cfg(target_arch = "wasm32")]
    use wasm_bindgen_test::wasm_bindgen_test as test;

    fn typed(entry: Entry, row: usize) -> String {
        entry.table.with_untracked(|table| table.rows[row].cells[1].clone())
    }

    #[test]
    fn a_cells_typing_and_another_layout_are_taken_back_one_after_the_other_and_done_again() {
        let owner = Owner::new();
        owner.with(|| {
            let entry = Entry::new(Table::laid_out(10.0, 50.0, Unit::Millimetres), Unit::Millimetres);
            for text in ["6", "61"] {
                entry.type_in(3, Column::Left, text.to_owned());
            }
            let filled = entry.table.get_untracked();
            entry.change(filled.laid_out_anew(20.0, 50.0, Unit::Millimetres), Unit::Millimetres);
            let anew = entry.table.get_untracked();
            entry.change(Table::laid_out(0.5, 2.0, Unit::Inches), Unit::Inches);
            entry.take_back();
            assert_eq!(entry.stands(), (anew.clone(), Unit::Millimetres));
            entry.take_back();
            assert_eq!(entry.table.get_untracked(), filled);
            entry.take_back();
            assert_eq!(typed(entry, 3), "");
            assert!(entry.none_back().get_untracked());
            entry.do_again();
            entry.do_again();
            assert_eq!(entry.table.get_untracked(), anew);
            assert!(!entry.none_again().get_untracked());
        });
    }

    #[test]
    fn rows_laid_out_as_they_are_make_nothing_to_take_back() {
        let owner = Owner::new();
        owner.with(|| {
            let table = Table::laid_out(10.0, 50.0, Unit::Millimetres);
            let entry = Entry::new(table.clone(), Unit::Millimetres);
            entry.change(table.laid_out_anew(10.0, 50.0, Unit::Millimetres), Unit::Millimetres);
            assert!(entry.none_back().get_untracked());
        });
    }
}
