//! How a request or an answer crosses between the page and the worker: as a list of texts, and as arrays of bytes,
//! where it has many, that change hands instead of being copied.

use ribline_geometry::share::Contents;
use std::collections::VecDeque;
use std::str::FromStr;
use wasm_bindgen::{JsCast, JsValue};
use web_sys::js_sys::{Array, Uint8Array};

/// What is posted: `[number, texts, bytes]`.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Parcel {
    /// An answer has the number of its request.
    pub number: u32,
    pub texts: VecDeque<String>,
    pub bytes: VecDeque<Vec<u8>>,
}

/// The number of what the worker says of itself: without a text that it is ready, else why it cannot be.
pub const OF_ITSELF: u32 = 0;

/// Something that can be sent across. It is unpacked in the order in which it was packed.
pub trait Carried: Sized {
    fn pack(self, into: &mut Parcel);
    /// `None` for what was packed otherwise, as another edition may do.
    fn unpack(from: &mut Parcel) -> Option<Self>;
}

impl Parcel {
    pub fn of(number: u32, carried: impl Carried) -> Parcel {
        let mut parcel = Parcel { number, ..Parcel::default() };
        carried.pack(&mut parcel);
        parcel
    }

    pub fn unpacked<T: Carried>(mut self) -> Option<T> {
        T::unpack(&mut self)
    }

    /// As a message, and what of it changes hands.
    pub fn into_message(self) -> (JsValue, Array) {
        let texts: Array = self.texts.into_iter().map(JsValue::from).collect();
        let bytes: Array =
            self.bytes.iter().map(|bytes| JsValue::from(Uint8Array::from(&bytes[..]))).collect();
        let handed_over = bytes.iter().map(|bytes| bytes.unchecked_ref::<Uint8Array>().buffer()).collect();
        (Array::of3(&self.number.into(), &texts, &bytes).into(), handed_over)
    }

    pub fn from_message(message: &JsValue) -> Option<Parcel> {
        let message = message.dyn_ref::<Array>()?;
        let list = |place: u32| message.get(place).dyn_into::<Array>().ok();
        let bytes = |item: JsValue| item.dyn_ref::<Uint8Array>().map(Uint8Array::to_vec);
        Some(Parcel {
            number: message.get(0).as_f64()? as u32,
            texts: list(1)?.iter().map(|text| text.as_string()).collect::<Option<_>>()?,
            bytes: list(2)?.iter().map(bytes).collect::<Option<_>>()?,
        })
    }

    /// A number, or whatever else is written as a text and read back the same.
    pub fn put(&mut self, plain: impl ToString) {
        self.texts.push_back(plain.to_string());
    }

    pub fn take<T: FromStr>(&mut self) -> Option<T> {
        self.texts.pop_front()?.parse().ok()
    }
}

impl Carried for String {
    fn pack(self, into: &mut Parcel) {
        into.texts.push_back(self);
    }

    fn unpack(from: &mut Parcel) -> Option<Self> {
        from.texts.pop_front()
    }
}

impl Carried for Vec<u8> {
    fn pack(self, into: &mut Parcel) {
        into.bytes.push_back(self);
    }

    fn unpack(from: &mut Parcel) -> Option<Self> {
        from.bytes.pop_front()
    }
}

impl Carried for Contents {
    fn pack(self, into: &mut Parcel) {
        into.put(self as u8);
    }

    fn unpack(from: &mut Parcel) -> Option<Self> {
        Contents::numbered(from.take()?)
    }
}

impl<T: Carried, E: Carried> Carried for Result<T, E> {
    fn pack(self, into: &mut Parcel) {
        into.put(self.is_ok());
        match self {
            Ok(good) => good.pack(into),
            Err(bad) => bad.pack(into),
        }
    }

    fn unpack(from: &mut Parcel) -> Option<Self> {
        Some(if from.take()? { Ok(T::unpack(from)?) } else { Err(E::unpack(from)?) })
    }
}

#[cfg(all(test, target_arch = "wasm32"))]
mod tests {
    use super::*;
    use wasm_bindgen_test::wasm_bindgen_test;

    #[wasm_bindgen_test]
    fn a_parcel_arrives_as_it_was_sent_and_its_bytes_change_hands() {
        for bytes in [vec![], vec![7u8; 4096]] {
            let mut sent = Parcel::of(12, Ok::<String, String>("a \u{1F3BB} word".to_string()));
            sent.put(0.1 + 0.2);
            bytes.clone().pack(&mut sent);
            let (message, handed_over) = sent.clone().into_message();
            assert_eq!(handed_over.length(), 1);
            let mut arrived = Parcel::from_message(&message).expect("a parcel");
            assert_eq!(arrived, sent);
            assert_eq!(Result::unpack(&mut arrived), Some(Ok::<_, String>("a \u{1F3BB} word".to_string())));
            assert_eq!(arrived.take(), Some(0.1 + 0.2));
            assert_eq!(arrived.unpacked(), Some(bytes));
        }
        assert_eq!(Parcel::from_message(&JsValue::from_str("something else")), None);
    }
}
