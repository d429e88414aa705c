use super::form::Turn;
use super::{Map, Number, Value};

/// More brackets within brackets than any file of ours has; a text of nothing but brackets would exhaust the stack.
pub const LARGEST_DEPTH: usize = 128;

/// Why a text is not JSON, and where.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct SyntaxError {
    /// Counted from 1.
    pub line: usize,
    /// In characters, counted from 1.
    pub column: usize,
    pub problem: &'static str,
    /// Whether the text ends where something was still to come.
    pub breaks_off: bool,
}

/// Reads a text that is one JSON value.
///
/// # Errors
/// The first place where it is not.
pub fn parse(text: &str) -> Result<Value, SyntaxError> {
    Reader::new(text, None).whole().map(|(value, _)| value)
}

/// Line and column, both counted from 1, where a value begins that is reached by `way`; the beginning of the text where nothing is.
pub fn place(text: &str, way: &[Turn]) -> (usize, usize) {
    let found = Reader::new(text, Some(way)).whole().ok().and_then(|(_, found)| found);
    line_and_column(text, found.unwrap_or(0))
}

fn line_and_column(text: &str, at: usize) -> (usize, usize) {
    let before = text.get(..at).unwrap_or(text);
    let begins = before.rfind('\n').map_or(0, |end| end + 1);
    (1 + before.matches('\n').count(), 1 + before[begins..].chars().count())
}

struct Reader<'a> {
    text: &'a str,
    at: usize,
    depth: usize,
    /// The way to the value whose place is wanted; `None` off that way.
    way: Option<&'a [Turn]>,
    found: Option<usize>,
}

type Read<T> = Result<T, (&'static str, bool)>;

fn wrong<T>(problem: &'static str) -> Read<T> {
    Err((problem, false))
}

impl<'a> Reader<'a> {
    fn new(text: &'a str, way: Option<&'a [Turn]>) -> Self {
        Reader { text, at: 0, depth: 0, way, found: None }
    }

    fn whole(mut self) -> Result<(Value, Option<usize>), SyntaxError> {
        let read = self.value().and_then(|value| match self.next() {
            None => Ok(value),
            Some(_) => wrong("trailing characters"),
        });
        match read {
            Ok(value) => Ok((value, self.found)),
            Err((problem, breaks_off)) => {
                let (line, column) = line_and_column(self.text, self.at);
                Err(SyntaxError { line, column, problem, breaks_off })
            }
        }
    }

    fn peek(&self) -> Option<u8> {
        self.text.as_bytes().get(self.at).copied()
    }

    /// The next byte that is no white space; not taken yet.
    fn next(&mut self) -> Option<u8> {
        while let Some(b' ' | b'\t' | b'\n' | b'\r') = self.peek() {
            self.at += 1;
        }
        self.peek()
    }

    fn value(&mut self) -> Read<Value> {
        let first = self.next();
        if self.way.is_some_and(<[Turn]>::is_empty) {
            self.found = Some(self.at);
        }
        match first {
            Some(b'{' | b'[') if self.depth == LARGEST_DEPTH => wrong("too many brackets within brackets"),
            Some(b'{') => self.object(),
            Some(b'[') => self.array(),
            Some(b'"') => self.string().map(Value::String),
            Some(b'-' | b'0'..=b'9') => self.number(),
            Some(b't') => self.word("true", Value::Bool(true)),
            Some(b'f') => self.word("false", Value::Bool(false)),
            Some(b'n') => self.word("null", Value::Null),
            Some(_) => wrong("expected value"),
            None => Err(("a value is still to come", true)),
        }
    }

    fn word(&mut self, word: &str, value: Value) -> Read<Value> {
        let rest = &self.text.as_bytes()[self.at..];
        if rest.starts_with(word.as_bytes()) {
            self.at += word.len();
            Ok(value)
        } else {
            Err(("expected true, false or null", word.as_bytes().starts_with(rest)))
        }
    }

    /// After an entry: whether another follows.
    fn goes_on(&mut self, close: u8, otherwise: &'static str) -> Read<bool> {
        match self.next() {
            Some(b',') => {
                self.at += 1;
                if self.next() == Some(close) { wrong("trailing comma") } else { Ok(true) }
            }
            Some(other) if other == close => {
                self.at += 1;
                Ok(false)
            }
            Some(_) => wrong(otherwise),
            None => Err(("a closing bracket is still to come", true)),
        }
    }

    /// Reads an entry, which is on the way where `turn` is the next turn of it.
    fn entry(&mut self, is_turn: impl FnOnce(&Turn) -> bool) -> Read<Value> {
        let way = self.way;
        self.way =
            way.and_then(|way| way.split_first()).filter(|(turn, _)| is_turn(turn)).map(|(_, rest)| rest);
        let value = self.value();
        self.way = way;
        value
    }

    fn array(&mut self) -> Read<Value> {
        self.at += 1;
        self.depth += 1;
        let mut items = Vec::new();
        let mut more = self.next() != Some(b']');
        self.at += usize::from(!more);
        while more {
            let index = items.len();
            items.push(self.entry(|turn| matches!(turn, Turn::Item(wanted) if *wanted == index))?);
            more = self.goes_on(b']', "expected \",\" or \"]\"")?;
        }
        self.depth -= 1;
        Ok(Value::Array(items))
    }

    fn object(&mut self) -> Read<Value> {
        self.at += 1;
        self.depth += 1;
        let mut entries = Map::new();
        let mut more = self.next() != Some(b'}');
        self.at += usize::from(!more);
        while more {
            match self.next() {
                Some(b'"') => {}
                Some(_) => return wrong("expected a name in quotes"),
                None => return Err(("a name is still to come", true)),
            }
            let key = self.string()?;
            match self.next() {
                Some(b':') => self.at += 1,
                Some(_) => return wrong("expected \":\""),
                None => return Err(("a value is still to come", true)),
            }
            let value = self.entry(|turn| matches!(turn, Turn::Entry(wanted) if **wanted == *key))?;
            entries.push(key, value);
            more = self.goes_on(b'}', "expected \",\" or \"}\"")?;
        }
        self.depth -= 1;
        Ok(Value::Object(entries))
    }

    fn number(&mut self) -> Read<Value> {
        let start = self.at;
        self.at += usize::from(self.peek() == Some(b'-'));
        if self.peek() == Some(b'0') {
            self.at += 1;
        } else {
            self.digits()?;
        }
        if self.peek() == Some(b'.') {
            self.at += 1;
            self.digits()?;
        }
        if let Some(b'e' | b'E') = self.peek() {
            self.at += 1;
            self.at += usize::from(matches!(self.peek(), Some(b'+' | b'-')));
            self.digits()?;
        }
        if let Some(b'0'..=b'9') = self.peek() {
            return wrong("invalid number");
        }
        Ok(Value::Number(Number::written(&self.text[start..self.at])))
    }

    fn digits(&mut self) -> Read<()> {
        match self.peek() {
            Some(b'0'..=b'9') => {
                while let Some(b'0'..=b'9') = self.peek() {
                    self.at += 1;
                }
                Ok(())
            }
            Some(_) => wrong("invalid number"),
            None => Err(("the rest of a number is still to come", true)),
        }
    }

    fn string(&mut self) -> Read<String> {
        self.at += 1;
        let mut read = String::new();
        loop {
            let start = self.at;
            while self.peek().is_some_and(|b| b >= b' ' && b != b'"' && b != b'\\') {
                self.at += 1;
            }
            read.push_str(&self.text[start..self.at]);
            match self.peek() {
                Some(b'"') => {
                    self.at += 1;
                    return Ok(read);
                }
                Some(b'\\') => {
                    self.at += 1;
                    read.push(self.escaped()?);
                }
                Some(_) => return wrong("a line end or other control character within quotes"),
                None => return Err(("a closing quote is still to come", true)),
            }
        }
    }

    fn escaped(&mut self) -> Read<char> {
        let Some(kind) = self.peek() else { return Err(("a closing quote is still to come", true)) };
        let read = match kind {
            b'"' | b'\\' | b'/' => char::from(kind),
            b'b' => '\u{8}',
            b'f' => '\u{c}',
            b'n' => '\n',
            b'r' => '\r',
            b't' => '\t',
            b'u' => {
                self.at += 1;
                return self.by_its_number();
            }
            _ => return wrong("invalid escape"),
        };
        self.at += 1;
        Ok(read)
    }

    /// What is beyond the first 65,536 characters is written as two halves.
    fn by_its_number(&mut self) -> Read<char> {
        let mut units = [self.four_hex_digits()?, 0];
        let mut count = 1;
        if (0xd800..0xdc00).contains(&units[0]) && self.text[self.at..].starts_with("\\u") {
            self.at += 2;
            units[1] = self.four_hex_digits()?;
            count = 2;
        }
        match char::decode_utf16(units).next() {
            Some(Ok(read)) if read.len_utf16() == count => Ok(read),
            _ => wrong("invalid unicode code point"),
        }
    }

    fn four_hex_digits(&mut self) -> Read<u16> {
        let Some(digits) = self.text.as_bytes().get(self.at..self.at + 4) else {
            return Err(("a closing quote is still to come", true));
        };
        let mut number = 0;
        for digit in digits {
            let value = char::from(*digit).to_digit(16);
            let Some(value) = value.and_then(|value| u16::try_from(value).ok()) else {
                return wrong("invalid escape");
            };
            number = number << 4 | value;
        }
        self.at += 4;
        Ok(number)
    }
}
