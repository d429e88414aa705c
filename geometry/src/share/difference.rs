//! One tree as what differs from another that the reader has already.
//!
//! Every difference begins with a byte:
//!
//! | byte | what |
//! |---|---|
//! | 0 | another value altogether: a tree |
//! | 1 | some values of an object: how many, then for each its place among the keys and a difference |
//! | 2 | the same, and then keys that are gone (how many, their places) and keys that joined (how many, key and tree) |
//! | 3 | a list: see below |
//! | 4 | a size of the same measure: the ratio |
//! | 5 | a step or measure with another ratio: the ratio |
//! | 16 to 63 | one value of an object, at place 0 to 47: a difference |
//! | 64 to 111 | a step or measure whose ratio has changed places with choice 0 to 47 |
//!
//! A list is gone through from its beginning. Each byte has what happens in its top two bits (0 kept, 1 left out, 2
//! joined, 3 changed) and to how many items in the others; trees follow the joined, differences the changed. Nought kept
//! ends it, and the rest is kept.

use super::bytes::{Bytes, Reading};
use super::error::{LinkError, ShareError};
use super::tree::{Reader, Writer, ratio_of, read_ratio, size_of, write_ratio};
use crate::json::{Map, Value};
use crate::ratio::Ratio;

const OTHER: u8 = 0;
const VALUES: u8 = 1;
const VALUES_AND_KEYS: u8 = 2;
const LIST: u8 = 3;
const RATIO: u8 = 4;
const RATIO_WITHIN: u8 = 5;
const VALUE_AT: u8 = 16;
const CHOICE: u8 = 64;
/// Places and choices that have a byte of their own.
const FIRST: usize = 48;

/// What can happen to items of a list, in the top two bits of a byte.
const KEPT: u8 = 0;
const LEFT_OUT: u8 = 1;
const JOINED: u8 = 2;
const CHANGED: u8 = 3;
/// Most items that one byte can tell of.
const AT_ONCE: usize = 63;

/// Where a measure or a circle has its size.
const SIZES: [&str; 2] = ["size", "radius"];
const CHOICES: &str = "choices";
/// Lists whose lengths multiply to more than this are not compared item by item.
const MOST_COMPARED: usize = 60_000;

/// Writes what `new` has otherwise than `base`.
pub(super) fn write(out: &mut Bytes, base: &Value, new: &Value) -> Result<(), ShareError> {
    Differing { out, writer: Writer::new(Some(base)) }.value(base, new, 0)
}

/// Reads a difference from `base`.
pub(super) fn read(reading: &mut Reading, base: &Value) -> Result<Value, LinkError> {
    Applying { reader: Reader::new(Some(base)), reading }.value(base, 0)
}

struct Differing<'a> {
    out: &'a mut Bytes,
    writer: Writer,
}

impl Differing<'_> {
    fn value(&mut self, base: &Value, new: &Value, depth: usize) -> Result<(), ShareError> {
        match (base, new) {
            (Value::Object(base), Value::Object(new)) => self.object(base, new, depth),
            (Value::Array(base), Value::Array(new)) if base.len() * new.len() <= MOST_COMPARED => {
                self.list(base, new, depth)
            }
            (Value::String(base), Value::String(new)) => {
                if let Some(ratio) = other_ratio(base, new) {
                    self.out.byte(RATIO);
                    write_ratio(self.out, ratio);
                    return Ok(());
                }
                self.other(&Value::String(new.clone()), depth)
            }
            _ => self.other(new, depth),
        }
    }

    fn other(&mut self, new: &Value, depth: usize) -> Result<(), ShareError> {
        self.out.byte(OTHER);
        self.writer.value(self.out, new, depth)
    }

    fn object(&mut self, base: &Map, new: &Map, depth: usize) -> Result<(), ShareError> {
        if let Some(place) = choice_taken(base, new) {
            self.out.byte(CHOICE + place as u8);
            return Ok(());
        }
        if let Some(ratio) = other_ratio_within(base, new) {
            self.out.byte(RATIO_WITHIN);
            write_ratio(self.out, ratio);
            return Ok(());
        }
        let mut changed = Vec::new();
        let mut gone = Vec::new();
        for (place, (key, was)) in base.iter().enumerate() {
            match new.get(key) {
                Some(is) if is == was => {}
                Some(is) => changed.push((place, was, is)),
                None => gone.push(place),
            }
        }
        let joined: Vec<_> = new.iter().filter(|(key, _)| !base.contains_key(key)).collect();
        if gone.is_empty()
            && joined.is_empty()
            && let &[(place, was, is)] = &changed[..]
            && place < FIRST
        {
            self.out.byte(VALUE_AT + place as u8);
            return self.value(was, is, depth + 1);
        }
        let only_values = gone.is_empty() && joined.is_empty();
        self.out.byte(if only_values { VALUES } else { VALUES_AND_KEYS });
        self.out.count(changed.len());
        for (place, was, is) in changed {
            self.out.count(place);
            self.value(was, is, depth + 1)?;
        }
        if !only_values {
            self.out.count(gone.len());
            gone.into_iter().for_each(|place| self.out.count(place));
            self.out.count(joined.len());
            for (key, value) in joined {
                self.writer.text(self.out, key);
                self.writer.value(self.out, value, depth + 1)?;
            }
        }
        Ok(())
    }

    fn list(&mut self, base: &[Value], new: &[Value], depth: usize) -> Result<(), ShareError> {
        self.out.byte(LIST);
        let mut steps = aligned(base, new);
        // What is kept at the end need not be said.
        if let Some((KEPT, _)) = steps.last() {
            steps.pop();
        }
        let (mut old, mut fresh) = (base.iter(), new.iter());
        for (what, count) in steps {
            self.out.byte(what << 6 | count as u8);
            for _ in 0..count {
                let was = if what == JOINED { None } else { old.next() };
                let is = if what == LEFT_OUT { None } else { fresh.next() };
                match (what, was, is) {
                    (CHANGED, Some(was), Some(is)) => self.value(was, is, depth + 1)?,
                    (JOINED, _, Some(is)) => self.writer.value(self.out, is, depth + 1)?,
                    _ => {}
                }
            }
        }
        self.out.byte(KEPT);
        Ok(())
    }
}

/// What happens to the items of one list on the way to another, in order, like with like counted together.
fn aligned(base: &[Value], new: &[Value]) -> Vec<(u8, usize)> {
    // The longest common subsequence, weighted by how alike two items are.
    let (rows, columns) = (base.len(), new.len());
    let alike: Vec<Vec<u32>> =
        base.iter().map(|was| new.iter().map(|is| likeness(was, is)).collect()).collect();
    let mut best = vec![vec![0u32; columns + 1]; rows + 1];
    for i in (0..rows).rev() {
        for j in (0..columns).rev() {
            let both = if alike[i][j] > 0 { alike[i][j] + best[i + 1][j + 1] } else { 0 };
            best[i][j] = both.max(best[i + 1][j]).max(best[i][j + 1]);
        }
    }
    let mut steps: Vec<(u8, usize)> = Vec::new();
    let mut step = |what: u8| match steps.last_mut() {
        Some((last, count)) if *last == what && *count < AT_ONCE => *count += 1,
        _ => steps.push((what, 1)),
    };
    let (mut i, mut j) = (0, 0);
    while i < rows || j < columns {
        if i < rows && j < columns && alike[i][j] > 0 && best[i][j] == alike[i][j] + best[i + 1][j + 1] {
            step(if alike[i][j] == SAME { KEPT } else { CHANGED });
            (i, j) = (i + 1, j + 1);
        } else if i < rows && best[i][j] == best[i + 1][j] {
            step(LEFT_OUT);
            i += 1;
        } else {
            step(JOINED);
            j += 1;
        }
    }
    steps
}

const SAME: u32 = 5;

/// How much it saves to say an item as a change of another: most where they are the same, less where they go by the
/// same name, least where they only have the same keys, and nothing for what has no parts.
fn likeness(was: &Value, is: &Value) -> u32 {
    if was == is {
        return SAME;
    }
    let (Value::Object(was), Value::Object(is)) = (was, is) else { return 0 };
    let named = was.iter().next() == is.iter().next();
    let same_keys = was.len() == is.len() && was.keys().eq(is.keys());
    match (named, same_keys) {
        (true, _) => 4,
        (false, true) => 1,
        (false, false) => 0,
    }
}

/// The ratio of a size that is otherwise the same.
fn other_ratio(was: &str, is: &str) -> Option<Ratio> {
    let ((_, of), (ratio, same)) = (size_of(was)?, size_of(is)?);
    (of == same).then_some(ratio)
}

/// Which choice the ratio of a step or measure has changed places with, where nothing else is different.
fn choice_taken(base: &Map, new: &Map) -> Option<usize> {
    let choices = base.get(CHOICES)?.as_array()?;
    (0..choices.len().min(FIRST)).find(|place| with_choice(base, *place).as_ref() == Some(new))
}

/// A step or measure with its ratio and one of its choices changed about.
fn with_choice(base: &Map, place: usize) -> Option<Map> {
    let wanted = ratio_of(base.get(CHOICES)?.as_array()?.get(place)?.as_str()?)?;
    let (was, mut changed) = with_ratio(base, wanted)?;
    *changed.get_mut(CHOICES)?.as_array_mut()?.get_mut(place)? = Value::String(was.to_string());
    Some(changed)
}

/// The ratio of a step or measure, where nothing else is different.
fn other_ratio_within(base: &Map, new: &Map) -> Option<Ratio> {
    let (ratio, _) = SIZES.iter().find_map(|key| size_of(new.get(key)?.as_str()?))?;
    let (_, changed) = with_ratio(base, ratio)?;
    (changed == *new).then_some(ratio)
}

/// A step or measure with another ratio, and the ratio that it had.
fn with_ratio(base: &Map, ratio: Ratio) -> Option<(Ratio, Map)> {
    let key = SIZES.iter().find(|key| base.contains_key(key))?;
    let (was, of) = size_of(base.get(key)?.as_str()?)?;
    let mut changed = base.clone();
    changed.insert((*key).to_owned(), Value::String(format!("{ratio} {of}")));
    Some((was, changed))
}

struct Applying<'a, 'b> {
    reader: Reader,
    reading: &'a mut Reading<'b>,
}

impl Applying<'_, '_> {
    fn value(&mut self, base: &Value, depth: usize) -> Result<Value, LinkError> {
        let what = self.reading.byte()?;
        if what == OTHER {
            return self.reader.value(self.reading, depth);
        }
        match (what, base) {
            (RATIO, Value::String(was)) => {
                let (_, of) = size_of(was).ok_or(LinkError::Nonsense)?;
                Ok(Value::String(format!("{} {of}", read_ratio(self.reading)?)))
            }
            (LIST, Value::Array(base)) => Ok(Value::Array(self.list(base, depth)?)),
            (_, Value::Object(base)) => Ok(Value::Object(self.object(what, base, depth)?)),
            _ => Err(LinkError::Nonsense),
        }
    }

    fn object(&mut self, what: u8, base: &Map, depth: usize) -> Result<Map, LinkError> {
        match what {
            RATIO_WITHIN => {
                let ratio = read_ratio(self.reading)?;
                with_ratio(base, ratio).map(|(_, changed)| changed).ok_or(LinkError::Nonsense)
            }
            VALUES | VALUES_AND_KEYS => {
                let mut map = base.clone();
                for _ in 0..self.reading.count()? {
                    let place = self.reading.place(base.len())?;
                    self.value_at(&mut map, base, place, depth)?;
                }
                if what == VALUES_AND_KEYS {
                    self.keys(&mut map, base, depth)?;
                }
                Ok(map)
            }
            VALUE_AT..CHOICE => {
                let mut map = base.clone();
                self.value_at(&mut map, base, usize::from(what - VALUE_AT), depth)?;
                Ok(map)
            }
            CHOICE.. if usize::from(what - CHOICE) < FIRST => {
                with_choice(base, usize::from(what - CHOICE)).ok_or(LinkError::Nonsense)
            }
            _ => Err(LinkError::Nonsense),
        }
    }

    fn value_at(&mut self, map: &mut Map, base: &Map, place: usize, depth: usize) -> Result<(), LinkError> {
        let (key, was) = base.iter().nth(place).ok_or(LinkError::Nonsense)?;
        map.insert(key, self.value(was, depth + 1)?);
        Ok(())
    }

    fn keys(&mut self, map: &mut Map, base: &Map, depth: usize) -> Result<(), LinkError> {
        for _ in 0..self.reading.count()? {
            let place = self.reading.place(base.len())?;
            let (key, _) = base.iter().nth(place).ok_or(LinkError::Nonsense)?;
            map.remove(key);
        }
        for _ in 0..self.reading.count()? {
            let key = self.reader.text(self.reading)?;
            map.insert(key, self.reader.value(self.reading, depth + 1)?);
        }
        Ok(())
    }

    fn list(&mut self, base: &[Value], depth: usize) -> Result<Vec<Value>, LinkError> {
        let mut old = base.iter();
        let mut list = Vec::new();
        loop {
            let byte = self.reading.byte()?;
            let (what, count) = (byte >> 6, byte & 0x3f);
            if count == 0 {
                if what != KEPT {
                    return Err(LinkError::Nonsense);
                }
                list.extend(old.cloned());
                return Ok(list);
            }
            for _ in 0..count {
                match what {
                    JOINED => list.push(self.reader.value(self.reading, depth + 1)?),
                    _ => {
                        let was = old.next().ok_or(LinkError::Nonsense)?;
                        match what {
                            KEPT => list.push(was.clone()),
                            CHANGED => list.push(self.value(was, depth + 1)?),
                            _ => {}
                        }
                    }
                }
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::json::Form;
    use crate::recipe::built_in::{built_in, violin};
    use proptest::prelude::*;
    use serde_json::json;

    fn difference(base: &Value, new: &Value) -> Vec<u8> {
        let mut out = Bytes::default();
        write(&mut out, base, new).unwrap();
        out.into()
    }

    fn applied(bytes: &[u8], base: &Value) -> Value {
        let mut reading = Reading::new(bytes);
        let new = read(&mut reading, base).unwrap();
        reading.ended().unwrap();
        new
    }

    #[test]
    fn any_built_in_recipe_is_told_by_how_it_differs_from_any_other() {
        let all: Vec<Value> = built_in().iter().map(|recipe| recipe.written()).collect();
        for base in &all {
            for new in &all {
                assert_eq!(applied(&difference(base, new), base), *new);
            }
        }
    }

    #[test]
    fn a_choice_taken_is_one_byte_and_its_place() {
        let base = violin().written();
        let chosen = violin().chosen("lower 3", "3/11".parse().unwrap()).unwrap();
        let bytes = difference(&base, &chosen.written());
        // At "steps", a list, four kept, one changed to its first choice, the rest kept.
        assert_eq!(bytes, [VALUE_AT + 8, LIST, 4, CHANGED << 6 | 1, CHOICE, 0]);
    }

    #[test]
    fn items_left_out_added_renamed_and_moved_are_told_by_themselves() {
        let base = violin().written();
        let mut new = serde_json::Value::from(&base);
        let steps = new["steps"].as_array_mut().unwrap();
        steps.remove(5);
        steps.insert(2, json!({"point": "eye", "up": "1/3 L", "out": "1/9 W", "looseness_mm": 2.0}));
        let moved = steps.remove(9);
        steps.push(moved);
        steps[12]["circle"] = "another name".into();
        new["colour"] = json!(["amber", {"coats": 7}]);
        new.as_object_mut().unwrap().shift_remove("note");
        let new = Value::from(new);
        let bytes = difference(&base, &new);
        assert_eq!(applied(&bytes, &base), new);
        assert!(bytes.len() < 130, "{}", bytes.len());
    }

    proptest! {
        #[test]
        fn a_difference_is_applied_to_what_it_was_taken_from(
            base in prop::collection::vec(0u8..6, 0..90),
            new in prop::collection::vec(0u8..6, 0..90),
        ) {
            let value = |list: Vec<u8>| {
                let item = |n: u8| if n < 3 { json!(n) } else { json!({"name": n / 2, "size": format!("{n}/7 W")}) };
                Value::from(json!({"list": list.into_iter().map(item).collect::<Vec<_>>()}))
            };
            let (base, new) = (value(base), value(new));
            prop_assert_eq!(applied(&difference(&base, &new), &base), new);
        }

        #[test]
        fn bytes_from_anywhere_are_a_difference_or_refused(bytes in prop::collection::vec(0u8..120, 0..60)) {
            let _ = read(&mut Reading::new(&bytes), &violin().written());
        }
    }
}
