//! A tree of JSON in few bytes.
//!
//! Every value begins with a byte that says what it is:
//!
//! | byte | what |
//! |---|---|
//! | 0, 1, 2 | null, false, true |
//! | 3 | a number as the eight bytes of an IEEE 754 double, the lowest first |
//! | 4, 5 | a whole number; -1 less a whole number |
//! | 6 to 10 | a decimal: a signed whole number over 1, 10, 100, 1000, 10000 |
//! | 11 | a text: its length in bytes, and UTF-8 |
//! | 12 | a text that was there before, by its number |
//! | 13 | a size, such as "2/5 W": a ratio and a text |
//! | 14, 15 | a ratio, such as "2/5"; a list of them |
//! | 16 | a list: how many, then each |
//! | 17 | an object: how many keys, the keys, then the values |
//! | 18 | an object with the keys of an earlier one, by its number |
//! | 32 to 63 | the same, for the first of them |
//! | 64 to 255 | a text that was there before, for the first of them |
//!
//! The first texts are those of [`words`](super::words); each further one joins them where it is first given in full.
//! A ratio is (over - 1) * 15 + under - 1 in a byte where both terms are up to 15, and else 255 and the two terms.

use super::bytes::{Bytes, Reading};
use super::error::{LinkError, ShareError};
use super::words::WORDS;
use crate::json::{Map, Number, Value};
use crate::ratio::Ratio;
use std::collections::HashMap;

const NULL: u8 = 0;
const FALSE: u8 = 1;
const TRUE: u8 = 2;
const DOUBLE: u8 = 3;
const WHOLE: u8 = 4;
const NEGATIVE: u8 = 5;
const DECIMAL: u8 = 6;
/// Decimal places that have a byte of their own.
const PLACES: [f64; 5] = [1.0, 10.0, 100.0, 1000.0, 10000.0];
const TEXT: u8 = 11;
const TEXT_AGAIN: u8 = 12;
const SIZE: u8 = 13;
const RATIO: u8 = 14;
const RATIOS: u8 = 15;
const LIST: u8 = 16;
const OBJECT: u8 = 17;
const OBJECT_AGAIN: u8 = 18;
const FIRST_OBJECTS: u8 = 32;
const FIRST_TEXTS: u8 = 64;

const LARGE_RATIO: u8 = 255;
/// As deep as the JSON reader goes.
const DEEPEST: usize = 120;
/// What a value takes in memory beside its text, roughly: part of what an input may expand to.
const VALUE_BYTES: usize = 2;

/// Writes a tree by itself.
pub(super) fn write(out: &mut Bytes, tree: &Value) -> Result<(), ShareError> {
    Writer::new(None).value(out, tree, 0)
}

/// Reads a tree by itself.
pub(super) fn read(reading: &mut Reading) -> Result<Value, LinkError> {
    Reader::new(None).value(reading, 0)
}

/// Texts and sets of keys that can be told by their number.
#[derive(Default)]
struct Known {
    texts: Vec<String>,
    keys: Vec<Vec<String>>,
}

impl Known {
    fn new() -> Self {
        Known { texts: WORDS.map(str::to_owned).to_vec(), keys: Vec::new() }
    }

    /// Takes in all the texts of a tree that both sides have.
    fn learn(&mut self, tree: &Value) {
        match tree {
            Value::String(text) => {
                let named = size_of(text).map_or(text.as_str(), |(_, of)| of);
                if ratio_of(text).is_none() && !self.texts.iter().any(|known| known == named) {
                    self.texts.push(named.to_owned());
                }
            }
            Value::Array(list) => list.iter().for_each(|item| self.learn(item)),
            Value::Object(map) => {
                let keys: Vec<String> = map.keys().map(str::to_owned).collect();
                if !self.keys.contains(&keys) {
                    self.keys.push(keys);
                }
                map.values().for_each(|value| self.learn(value));
            }
            Value::Null | Value::Bool(_) | Value::Number(_) => {}
        }
    }
}

pub(super) struct Writer {
    texts: HashMap<String, usize>,
    keys: HashMap<Vec<String>, usize>,
}

impl Writer {
    /// For what is to be read by someone who has `base` already.
    pub fn new(base: Option<&Value>) -> Self {
        let mut known = Known::new();
        if let Some(base) = base {
            known.learn(base);
        }
        let numbered = |list: Vec<String>| list.into_iter().enumerate().map(|(k, text)| (text, k)).collect();
        let keys = known.keys.into_iter().enumerate().map(|(k, keys)| (keys, k)).collect();
        Writer { texts: numbered(known.texts), keys }
    }

    pub fn value(&mut self, out: &mut Bytes, value: &Value, depth: usize) -> Result<(), ShareError> {
        if depth > DEEPEST {
            return Err(ShareError::NotExact);
        }
        match value {
            Value::Null => out.byte(NULL),
            Value::Bool(false) => out.byte(FALSE),
            Value::Bool(true) => out.byte(TRUE),
            Value::Number(number) => write_number(out, number)?,
            Value::String(text) => self.string(out, text),
            Value::Array(list) => self.list(out, list, depth)?,
            Value::Object(map) => self.object(out, map, depth)?,
        }
        Ok(())
    }

    fn string(&mut self, out: &mut Bytes, text: &str) {
        if let Some((ratio, of)) = size_of(text) {
            out.byte(SIZE);
            write_ratio(out, ratio);
            self.text(out, of);
        } else if let Some(ratio) = ratio_of(text) {
            out.byte(RATIO);
            write_ratio(out, ratio);
        } else {
            self.text(out, text);
        }
    }

    pub fn text(&mut self, out: &mut Bytes, text: &str) {
        if let Some(number) = self.texts.get(text) {
            again(out, *number, FIRST_TEXTS..=u8::MAX, TEXT_AGAIN);
        } else {
            out.byte(TEXT);
            out.text(text);
            self.texts.insert(text.to_owned(), self.texts.len());
        }
    }

    fn list(&mut self, out: &mut Bytes, list: &[Value], depth: usize) -> Result<(), ShareError> {
        let ratios: Option<Vec<Ratio>> = list.iter().map(|item| ratio_of(item.as_str()?)).collect();
        match ratios {
            Some(ratios) if !ratios.is_empty() => {
                out.byte(RATIOS);
                out.count(ratios.len());
                ratios.into_iter().for_each(|ratio| write_ratio(out, ratio));
            }
            _ => {
                out.byte(LIST);
                out.count(list.len());
                for item in list {
                    self.value(out, item, depth + 1)?;
                }
            }
        }
        Ok(())
    }

    fn object(&mut self, out: &mut Bytes, map: &Map, depth: usize) -> Result<(), ShareError> {
        let keys: Vec<String> = map.keys().map(str::to_owned).collect();
        if let Some(number) = self.keys.get(&keys) {
            again(out, *number, FIRST_OBJECTS..=FIRST_TEXTS - 1, OBJECT_AGAIN);
        } else {
            out.byte(OBJECT);
            out.count(keys.len());
            keys.iter().for_each(|key| self.text(out, key));
            self.keys.insert(keys, self.keys.len());
        }
        map.values().try_for_each(|value| self.value(out, value, depth + 1))
    }
}

/// The number of something that was there before: in a byte of its own, for the first of them.
fn again(out: &mut Bytes, number: usize, first: std::ops::RangeInclusive<u8>, later: u8) {
    let room = usize::from(first.end() - first.start()) + 1;
    if number < room {
        out.byte(first.start() + number as u8);
    } else {
        out.byte(later);
        out.count(number - room);
    }
}

pub(super) struct Reader {
    known: Known,
}

impl Reader {
    pub fn new(base: Option<&Value>) -> Self {
        let mut known = Known::new();
        if let Some(base) = base {
            known.learn(base);
        }
        Reader { known }
    }

    pub fn value(&mut self, reading: &mut Reading, depth: usize) -> Result<Value, LinkError> {
        if depth > DEEPEST {
            return Err(LinkError::Nonsense);
        }
        reading.spend(VALUE_BYTES)?;
        Ok(match reading.byte()? {
            NULL => Value::Null,
            FALSE => Value::Bool(false),
            TRUE => Value::Bool(true),
            DOUBLE => number(f64::from_le_bytes(reading.exactly()?))?,
            WHOLE => Value::Number(reading.number()?.into()),
            NEGATIVE => {
                let beyond = i64::try_from(reading.number()?).map_err(|_| LinkError::Nonsense)?;
                Value::Number((-1 - beyond).into())
            }
            place @ DECIMAL..TEXT => number(reading.signed()? as f64 / PLACES[usize::from(place - DECIMAL)])?,
            SIZE => {
                let ratio = read_ratio(reading)?;
                let begins = reading.byte()?;
                let of = self.text_from(reading, begins)?;
                Value::String(format!("{ratio} {of}"))
            }
            RATIO => Value::String(read_ratio(reading)?.to_string()),
            RATIOS => {
                let count = reading.count()?;
                let ratio = |_| {
                    reading.spend(VALUE_BYTES + 7)?;
                    Ok(Value::String(read_ratio(reading)?.to_string()))
                };
                Value::Array((0..count).map(ratio).collect::<Result<_, _>>()?)
            }
            LIST => {
                let count = reading.count()?;
                let item = |_| self.value(reading, depth + 1);
                Value::Array((0..count).map(item).collect::<Result<_, _>>()?)
            }
            OBJECT => {
                let count = reading.count()?;
                let key = |_| self.text(reading);
                let keys = (0..count).map(key).collect::<Result<Vec<_>, _>>()?;
                self.known.keys.push(keys.clone());
                self.object(reading, keys, depth)?
            }
            OBJECT_AGAIN => {
                let first = usize::from(FIRST_TEXTS - FIRST_OBJECTS);
                let number = first + reading.place(self.known.keys.len().saturating_sub(first))?;
                self.object_again(reading, number, depth)?
            }
            byte @ FIRST_OBJECTS..FIRST_TEXTS => {
                self.object_again(reading, usize::from(byte - FIRST_OBJECTS), depth)?
            }
            begins => Value::String(self.text_from(reading, begins)?),
        })
    }

    pub fn text(&mut self, reading: &mut Reading) -> Result<String, LinkError> {
        let begins = reading.byte()?;
        self.text_from(reading, begins)
    }

    fn text_from(&mut self, reading: &mut Reading, begins: u8) -> Result<String, LinkError> {
        let text = match begins {
            TEXT => {
                let text = reading.text()?.to_owned();
                self.known.texts.push(text.clone());
                text
            }
            TEXT_AGAIN => {
                let first = usize::from(u8::MAX - FIRST_TEXTS) + 1;
                let number = first + reading.place(self.known.texts.len().saturating_sub(first))?;
                self.known.texts[number].clone()
            }
            FIRST_TEXTS..=u8::MAX => {
                let number = usize::from(begins - FIRST_TEXTS);
                self.known.texts.get(number).ok_or(LinkError::Nonsense)?.clone()
            }
            _ => return Err(LinkError::Nonsense),
        };
        reading.spend(text.len())?;
        Ok(text)
    }

    fn object_again(
        &mut self,
        reading: &mut Reading,
        number: usize,
        depth: usize,
    ) -> Result<Value, LinkError> {
        let keys = self.known.keys.get(number).ok_or(LinkError::Nonsense)?.clone();
        reading.spend(keys.iter().map(String::len).sum())?;
        self.object(reading, keys, depth)
    }

    fn object(&mut self, reading: &mut Reading, keys: Vec<String>, depth: usize) -> Result<Value, LinkError> {
        let mut map = Map::new();
        for key in keys {
            let value = self.value(reading, depth + 1)?;
            map.push(key, value);
        }
        Ok(Value::Object(map))
    }
}

fn write_number(out: &mut Bytes, number: &Number) -> Result<(), ShareError> {
    if let Some(whole) = number.as_u64() {
        out.byte(WHOLE);
        out.number(whole);
    } else if let Some(negative) = number.as_i64() {
        out.byte(NEGATIVE);
        out.number((-1 - negative) as u64);
    } else {
        let double = number.as_f64().ok_or(ShareError::NotExact)?;
        match decimal(double) {
            Some((places, mantissa)) => {
                out.byte(DECIMAL + places as u8);
                out.signed(mantissa);
            }
            None => {
                out.byte(DOUBLE);
                out.put(&double.to_le_bytes());
            }
        }
    }
    Ok(())
}

/// A double as a whole number over a power of ten, where that gives back the very same bits.
fn decimal(double: f64) -> Option<(usize, i64)> {
    PLACES.iter().enumerate().find_map(|(places, of)| {
        let mantissa = (double * of).round();
        // Beyond this the eight bytes as they are take no more.
        let short = mantissa.abs() < 1e12;
        let exact = short && (mantissa as i64 as f64 / of).to_bits() == double.to_bits();
        exact.then_some((places, mantissa as i64))
    })
}

fn number(double: f64) -> Result<Value, LinkError> {
    Number::from_f64(double).map(Value::Number).ok_or(LinkError::Nonsense)
}

pub(super) fn write_ratio(out: &mut Bytes, ratio: Ratio) {
    let (over, under) = (ratio.over(), ratio.under());
    if over <= 15 && under <= 15 {
        out.byte(((over - 1) * 15 + under - 1) as u8);
    } else {
        out.byte(LARGE_RATIO);
        out.number(over.into());
        out.number(under.into());
    }
}

pub(super) fn read_ratio(reading: &mut Reading) -> Result<Ratio, LinkError> {
    let term = |number: u64| u16::try_from(number).map_err(|_| LinkError::Nonsense);
    let (over, under) = match reading.byte()? {
        LARGE_RATIO => (term(reading.number()?)?, term(reading.number()?)?),
        byte => (u16::from(byte) / 15 + 1, u16::from(byte) % 15 + 1),
    };
    Ratio::new(over, under).map_err(|_| LinkError::Nonsense)
}

/// A text that is a size and is written just so.
pub(super) fn size_of(text: &str) -> Option<(Ratio, &str)> {
    let (ratio, of) = text.split_once(' ')?;
    Some((ratio_of(ratio)?, of))
}

/// A text that is a ratio and is written just so.
pub(super) fn ratio_of(text: &str) -> Option<Ratio> {
    if !text.starts_with(|c: char| c.is_ascii_digit()) || text.len() > 7 {
        return None;
    }
    let ratio: Ratio = text.parse().ok()?;
    (ratio.to_string() == text).then_some(ratio)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::json::Form;
    use proptest::prelude::*;

    fn there_and_back(tree: &Value) -> Value {
        let mut out = Bytes::default();
        write(&mut out, tree).unwrap();
        let bytes: Vec<u8> = out.into();
        let mut reading = Reading::new(&bytes);
        let back = read(&mut reading).unwrap();
        reading.ended().unwrap();
        back
    }

    /// JSON of any form: with texts that look like sizes and ratios, and numbers of all three kinds.
    fn any_json() -> impl Strategy<Value = Value> {
        use serde_json::Value;
        let text = prop_oneof![
            any::<String>(),
            "[0-9]{1,4}/[0-9]{1,3} ?[A-Z]?",
            "[1-9][0-9]? [A-Za-z ]{0,6}",
            Just("lower 1".to_owned())
        ];
        let leaf = prop_oneof![
            Just(Value::Null),
            any::<bool>().prop_map(Value::from),
            any::<u64>().prop_map(Value::from),
            any::<i64>().prop_map(Value::from),
            any::<f64>().prop_map(|x| Value::from(if x.is_finite() { x } else { 0.5 })),
            (-1_000_000i32..1_000_000).prop_map(|n| Value::from(f64::from(n) / 1000.0)),
            text.clone().prop_map(Value::from),
        ];
        leaf.prop_recursive(4, 48, 6, move |inner| {
            prop_oneof![
                prop::collection::vec(inner.clone(), 0..6).prop_map(Value::from),
                prop::collection::vec((text.clone(), inner), 0..6)
                    .prop_map(|entries| Value::Object(entries.into_iter().collect())),
            ]
        })
        .prop_map(super::Value::from)
    }

    proptest! {
        #[test]
        fn a_tree_is_read_as_it_was_written_with_the_order_of_its_keys(tree in any_json()) {
            let back = there_and_back(&tree);
            prop_assert_eq!(&back, &tree);
            let text = |tree: &Value| serde_json::Value::from(tree).to_string();
            prop_assert_eq!(text(&back), text(&tree));
        }

        #[test]
        fn a_number_comes_back_to_the_last_bit(number in any::<f64>().prop_filter("no number", |x| x.is_finite())) {
            let back = f64::read(&there_and_back(&number.written())).unwrap();
            prop_assert_eq!(back.to_bits(), number.to_bits());
        }

        #[test]
        fn bytes_from_anywhere_are_a_tree_or_refused(bytes in prop::collection::vec(any::<u8>(), 0..200)) {
            let _ = read(&mut Reading::new(&bytes));
        }
    }

    #[test]
    fn a_nought_below_nought_keeps_its_sign() {
        let back = there_and_back(&(-0.0).written());
        assert!(f64::read(&back).unwrap().is_sign_negative());
    }

    #[test]
    fn a_short_input_cannot_stand_for_a_long_text_many_times() {
        let mut out = Bytes::default();
        out.byte(LIST);
        out.count(1000);
        out.byte(TEXT);
        out.text(&"m".repeat(1000));
        let again = FIRST_TEXTS + WORDS.len() as u8;
        (1..1000).for_each(|_| out.byte(again));
        let bytes: Vec<u8> = out.into();
        assert_eq!(read(&mut Reading::new(&bytes)), Err(LinkError::ExpandsTooFar));
    }

    #[test]
    fn a_tree_deeper_than_any_recipe_is_refused() {
        let bytes = [LIST, 1].repeat(10_000);
        assert_eq!(read(&mut Reading::new(&bytes)), Err(LinkError::Nonsense));
    }
}
