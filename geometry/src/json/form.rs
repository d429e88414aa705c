use super::{Map, Number, Value};
use kurbo::Point;

/// A step on the way from the whole file to a value in it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Turn {
    Entry(Box<str>),
    Item(usize),
}

/// What is wrong with a value, and the way to it from the value that was read.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Fault {
    way: Vec<Turn>,
    pub problem: String,
}

impl Fault {
    pub fn new(problem: impl Into<String>) -> Self {
        Fault { way: Vec::new(), problem: problem.into() }
    }

    /// Something else was found than what was expected, which is said as in "a size such as 2/5 W".
    pub fn unlike(found: &Value, expected: &str) -> Self {
        Fault::new(format!("found {}, expected {expected}", found.told()))
    }

    fn within(mut self, turn: Turn) -> Self {
        // Faults are rare and ways short.
        self.way.insert(0, turn);
        self
    }

    /// From the outermost value inwards.
    pub fn way(&self) -> &[Turn] {
        &self.way
    }
}

/// How a type stands in a file.
pub trait Form: Sized {
    /// # Errors
    /// What is wrong with the first value that cannot be read.
    fn read(value: &Value) -> Result<Self, Fault>;

    fn written(&self) -> Value;
}

/// The entries of an object, taken by name one after the other.
pub struct Fields<'a> {
    entries: &'a Map,
    taken: Vec<&'static str>,
}

impl<'a> Fields<'a> {
    /// `expected` says what the object is, as in "a step in { }".
    ///
    /// # Errors
    /// Where the value is no object.
    pub fn of(value: &'a Value, expected: &str) -> Result<Self, Fault> {
        match value {
            Value::Object(entries) => Ok(Fields { entries, taken: Vec::new() }),
            other => Err(Fault::unlike(other, expected)),
        }
    }

    fn find(&mut self, name: &'static str) -> Result<Option<&'a Value>, Fault> {
        self.taken.push(name);
        let mut found = self.entries.iter().filter(|(key, _)| *key == name).map(|(_, value)| value);
        let first = found.next();
        match found.next() {
            None => Ok(first),
            Some(_) => Err(Fault::new(format!("there is more than one \"{name}\""))),
        }
    }

    /// # Errors
    /// Where the entry is missing, there twice, or cannot be read.
    pub fn take<T: Form>(&mut self, name: &'static str) -> Result<T, Fault> {
        match self.find(name)? {
            Some(value) => read_entry(value, name),
            None => Err(Fault::new(format!("there is no \"{name}\""))),
        }
    }

    /// An entry that may be missing.
    ///
    /// # Errors
    /// Where the entry is there twice, or cannot be read.
    pub fn take_if_there<T: Form>(&mut self, name: &'static str) -> Result<Option<T>, Fault> {
        self.find(name)?.map(|value| read_entry(value, name)).transpose()
    }

    /// An entry that is as good as empty where it is missing.
    ///
    /// # Errors
    /// Where the entry is there twice, or cannot be read.
    pub fn take_or_default<T: Form + Default>(&mut self, name: &'static str) -> Result<T, Fault> {
        Ok(self.take_if_there(name)?.unwrap_or_default())
    }

    /// All that was not asked for.
    pub fn rest(self) -> Map {
        let left = self.entries.iter().filter(|(key, _)| !self.taken.contains(key));
        Map(left.map(|(key, value)| (key.to_owned(), value.clone())).collect())
    }
}

fn read_entry<T: Form>(value: &Value, name: &str) -> Result<T, Fault> {
    T::read(value).map_err(|fault| fault.within(Turn::Entry(name.into())))
}

impl Map {
    /// With an entry at the end.
    #[must_use]
    pub fn with(mut self, key: &'static str, value: &impl Form) -> Self {
        self.push(key, value.written());
        self
    }

    /// With an entry at the end where there is something.
    #[must_use]
    pub fn with_if_there(self, key: &'static str, value: &Option<impl Form>) -> Self {
        match value {
            Some(value) => self.with(key, value),
            None => self,
        }
    }

    /// With entries at the end.
    #[must_use]
    pub fn with_all(mut self, others: &Map) -> Self {
        self.0.extend_from_slice(&others.0);
        self
    }
}

/// The only entry of an object: its name, and what it is.
///
/// # Errors
/// Where there is none or another, with what was `expected`.
pub fn single<'a>(value: &'a Value, expected: &str) -> Result<(&'a str, &'a Value), Fault> {
    let Value::Object(entries) = value else { return Err(Fault::unlike(value, expected)) };
    let mut entries = entries.iter();
    match (entries.next(), entries.next()) {
        (Some(only), None) => Ok(only),
        (None, _) => Err(Fault::new("there is nothing between { and }")),
        (_, Some((more, _))) => Err(Fault::new(format!("\"{more}\" is one entry too many in {{ }}"))),
    }
}

/// An object with one entry.
pub fn one_entry(key: &'static str, value: &impl Form) -> Value {
    Value::Object(Map::new().with(key, value))
}

/// A name in a file, and what it names.
pub type Name<T> = (&'static str, T);

/// What is one of a few, each with its name.
pub trait Named: Copy + PartialEq + 'static {
    const NAMES: &'static [Name<Self>];
}

fn no_such_name(value: &Value, names: &[&str]) -> Fault {
    let list = names.iter().map(|name| format!("\"{name}\"")).collect::<Vec<_>>().join(", ");
    match value {
        Value::String(_) => Fault::new(format!("nothing is called {}, expected one of {list}", value.told())),
        other => Fault::unlike(other, &format!("one of {list}")),
    }
}

impl<T: Named> Form for T {
    fn read(value: &Value) -> Result<Self, Fault> {
        let found = value.as_str().and_then(|text| T::NAMES.iter().find(|(name, _)| *name == text));
        found.map(|(_, one)| *one).ok_or_else(|| {
            let all: Vec<&str> = T::NAMES.iter().map(|(name, _)| *name).collect();
            no_such_name(value, &all)
        })
    }

    fn written(&self) -> Value {
        let name = T::NAMES.iter().find(|(_, one)| one == self).map_or("", |(name, _)| *name);
        Value::String(name.to_owned())
    }
}

impl Form for f64 {
    fn read(value: &Value) -> Result<Self, Fault> {
        let number = match value {
            Value::Number(number) => number.as_f64(),
            _ => None,
        };
        number.ok_or_else(|| Fault::unlike(value, "a number"))
    }

    /// JSON has no way to write what is not finite.
    fn written(&self) -> Value {
        Number::from_f64(*self).map_or(Value::Null, Value::Number)
    }
}

impl Form for usize {
    fn read(value: &Value) -> Result<Self, Fault> {
        let number = match value {
            Value::Number(number) => number.as_u64().and_then(|number| usize::try_from(number).ok()),
            _ => None,
        };
        number.ok_or_else(|| Fault::unlike(value, "a whole number"))
    }

    fn written(&self) -> Value {
        Value::Number((*self as u64).into())
    }
}

impl Form for bool {
    fn read(value: &Value) -> Result<Self, Fault> {
        match value {
            Value::Bool(holds) => Ok(*holds),
            other => Err(Fault::unlike(other, "true or false")),
        }
    }

    fn written(&self) -> Value {
        Value::Bool(*self)
    }
}

impl Form for String {
    fn read(value: &Value) -> Result<Self, Fault> {
        value.as_str().map(str::to_owned).ok_or_else(|| Fault::unlike(value, "a text in quotes"))
    }

    fn written(&self) -> Value {
        Value::String(self.clone())
    }
}

impl Form for Value {
    fn read(value: &Value) -> Result<Self, Fault> {
        Ok(value.clone())
    }

    fn written(&self) -> Value {
        self.clone()
    }
}

impl<T: Form> Form for Option<T> {
    fn read(value: &Value) -> Result<Self, Fault> {
        match value {
            Value::Null => Ok(None),
            some => T::read(some).map(Some),
        }
    }

    fn written(&self) -> Value {
        self.as_ref().map_or(Value::Null, Form::written)
    }
}

impl<T: Form> Form for Vec<T> {
    fn read(value: &Value) -> Result<Self, Fault> {
        let Value::Array(items) = value else { return Err(Fault::unlike(value, "a list in [ ]")) };
        let mut read = Vec::with_capacity(items.len());
        for (index, item) in items.iter().enumerate() {
            read.push(T::read(item).map_err(|fault| fault.within(Turn::Item(index)))?);
        }
        Ok(read)
    }

    fn written(&self) -> Value {
        Value::Array(self.iter().map(Form::written).collect())
    }
}

impl<T: Form, const N: usize> Form for [T; N] {
    fn read(value: &Value) -> Result<Self, Fault> {
        Vec::read(value)?.try_into().map_err(|_| Fault::unlike(value, &format!("a list of {N}")))
    }

    fn written(&self) -> Value {
        Value::Array(self.iter().map(Form::written).collect())
    }
}

impl Form for Point {
    fn read(value: &Value) -> Result<Self, Fault> {
        let mut fields = Fields::of(value, "a point, {\"x\": 1.5, \"y\": 2}")?;
        Ok(Point::new(fields.take("x")?, fields.take("y")?))
    }

    fn written(&self) -> Value {
        Value::Object(Map::new().with("x", &self.x).with("y", &self.y))
    }
}
