use super::*;
use proptest::prelude::*;

impl From<serde_json::Value> for Value {
    fn from(json: serde_json::Value) -> Self {
        parse(&json.to_string()).unwrap()
    }
}

impl From<&Value> for serde_json::Value {
    fn from(value: &Value) -> Self {
        serde_json::from_str(&Layout::OPEN.text_of(value)).unwrap()
    }
}

fn read(text: &str) -> Result<Value, (usize, usize, bool)> {
    parse(text).map_err(|error| (error.line, error.column, error.breaks_off))
}

#[test]
fn values_are_read_in_their_order() {
    let value =
        parse(" {\"b\": [1, -2.50e3, \"\\u00e9\\ud834\\udd1e\\n\"], \"a\": {}, \"c\": null} ").unwrap();
    let Value::Object(entries) = &value else { panic!("{value:?}") };
    assert_eq!(entries.iter().map(|(key, _)| key).collect::<Vec<_>>(), ["b", "a", "c"]);
    let Some(Value::Array(items)) = value.get("b") else { panic!("{value:?}") };
    assert_eq!(items[1], Value::Number(Number::written("-2.50e3")));
    assert_eq!(items[2].as_str(), Some("é\u{1d11e}\n"));
}

#[test]
fn a_fault_is_told_with_its_place() {
    assert_eq!(read("{\n  \"a\": 1,,\n}"), Err((2, 10, false)));
    assert_eq!(read("[\"é\" 1]"), Err((1, 6, false)));
    assert_eq!(read("{\"a\":\n"), Err((2, 1, true)));
    assert_eq!(read("[1,"), Err((1, 4, true)));
    assert_eq!(read("\"abc"), Err((1, 5, true)));
    assert_eq!(read("tru"), Err((1, 1, true)));
}

#[test]
fn brackets_without_end_do_not_exhaust_the_stack() {
    assert!(parse(&"[".repeat(1_000_000)).is_err_and(|error| !error.breaks_off));
    let deep = "[".repeat(LARGEST_DEPTH) + &"]".repeat(LARGEST_DEPTH);
    assert!(parse(&deep).is_ok());
}

#[test]
fn the_place_of_a_value_is_found_by_the_way_to_it() {
    let text = "{\n \"a\": 1,\n \"steps\": [\n  {\"b\": 2},\n  {\"b\": 3, \"c\": [4,\n 5]}\n ]\n}";
    let way = |turns: &[Turn]| place(text, turns);
    let entry = |name: &str| Turn::Entry(name.into());
    assert_eq!(way(&[]), (1, 1));
    assert_eq!(way(&[entry("steps"), Turn::Item(1)]), (5, 3));
    assert_eq!(way(&[entry("steps"), Turn::Item(1), entry("c"), Turn::Item(1)]), (6, 2));
}

#[test]
fn a_field_that_is_there_twice_is_not_guessed_at() {
    let value = parse(r#"{"x": 1, "y": 2, "x": 3}"#).unwrap();
    let fault = kurbo::Point::read(&value).unwrap_err();
    assert!(fault.problem.contains("more than one \"x\""), "{}", fault.problem);
}

#[test]
fn a_number_beyond_all_reckoning_is_refused() {
    let value = parse("1e999").unwrap();
    assert!(f64::read(&value).unwrap_err().problem.contains("1e999"));
}

fn any_json() -> impl Strategy<Value = serde_json::Value> {
    use serde_json::Value as Json;
    let leaf = prop_oneof![
        Just(Json::Null),
        any::<bool>().prop_map(Json::from),
        any::<f64>().prop_map(Json::from),
        any::<i64>().prop_map(Json::from),
        any::<String>().prop_map(Json::from),
    ];
    leaf.prop_recursive(4, 40, 6, |inner| {
        prop_oneof![
            prop::collection::vec(inner.clone(), 0..6).prop_map(Json::from),
            prop::collection::vec((any::<String>(), inner), 0..6)
                .prop_map(|entries| Json::Object(entries.into_iter().collect())),
        ]
    })
}

proptest! {
    /// Against `serde_json`, reading what it writes and writing what it reads.
    #[test]
    fn another_reader_and_writer_agree(json in any_json(), levels in 0..4_usize) {
        for text in [json.to_string(), serde_json::to_string_pretty(&json).unwrap()] {
            let value = parse(&text).unwrap();
            let again = Layout { levels }.text_of(&value);
            prop_assert_eq!(serde_json::from_str::<serde_json::Value>(&again).unwrap(), json.clone());
            prop_assert_eq!(Layout::OPEN.text_of(&value), serde_json::to_string_pretty(&json).unwrap());
        }
    }

    /// Whether a text is JSON, and whether it only breaks off, is for `serde_json` what it is here.
    #[test]
    fn another_reader_refuses_the_same_texts(
        json in any_json(), at in any::<prop::sample::Index>(), put in "[\\[\\]{},:\"0-9eE.+\\- tnu\\\\]{0,2}", cut in any::<bool>()
    ) {
        let mut text = json.to_string();
        let at = (0..=at.index(text.len() + 1)).rev().find(|at| text.is_char_boundary(*at)).unwrap_or(0);
        if cut { text.truncate(at) } else { text.insert_str(at, &put) }
        match (parse(&text), serde_json::from_str::<serde_json::Value>(&text)) {
            (Ok(_), Ok(_)) => {}
            // A number too large is still JSON here; it is refused by whoever reads it as a number.
            (Ok(_), Err(error)) => prop_assert!(error.to_string().contains("number out of range"), "{text:?}: {error}"),
            (Err(ours), Err(theirs)) => prop_assert_eq!(ours.breaks_off, theirs.is_eof(), "{:?}: {:?}, {}", text, ours, theirs),
            (Err(ours), Ok(_)) => prop_assert!(false, "{text:?}: {ours:?}"),
        }
    }

    #[test]
    fn a_number_is_read_back_to_the_last_bit(number in prop::num::f64::NORMAL | prop::num::f64::SUBNORMAL | prop::num::f64::ZERO) {
        let text = Layout::OPEN.text_of(&number.written());
        let again = f64::read(&parse(&text).unwrap()).unwrap();
        prop_assert_eq!(again.to_bits(), number.to_bits());
    }
}
