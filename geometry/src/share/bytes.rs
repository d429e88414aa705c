//! Bytes one after another: whole numbers take as few as they need.

use super::error::LinkError;

/// What is being written.
#[derive(Debug, Default)]
pub(super) struct Bytes(Vec<u8>);

impl Bytes {
    pub fn byte(&mut self, byte: u8) {
        self.0.push(byte);
    }

    pub fn put(&mut self, bytes: &[u8]) {
        self.0.extend_from_slice(bytes);
    }

    /// Seven bits a byte, the lowest first, the top bit set on all but the last.
    pub fn number(&mut self, mut number: u64) {
        while number >= 0x80 {
            self.byte(number as u8 | 0x80);
            number >>= 7;
        }
        self.byte(number as u8);
    }

    pub fn count(&mut self, count: usize) {
        self.number(count as u64);
    }

    /// Near nought on either side is short: 0, -1, 1, -2 ... are written as 0, 1, 2, 3 ...
    pub fn signed(&mut self, number: i64) {
        self.number(((number << 1) ^ (number >> 63)) as u64);
    }

    pub fn text(&mut self, text: &str) {
        self.count(text.len());
        self.put(text.as_bytes());
    }
}

impl From<Bytes> for Vec<u8> {
    fn from(bytes: Bytes) -> Vec<u8> {
        bytes.0
    }
}

/// What is being read, and how much more text may come of it.
pub(super) struct Reading<'a> {
    rest: &'a [u8],
    allowance: usize,
}

impl<'a> Reading<'a> {
    pub fn new(bytes: &'a [u8]) -> Self {
        Reading { rest: bytes, allowance: super::EXPANDED_LIMIT }
    }

    pub fn byte(&mut self) -> Result<u8, LinkError> {
        let (first, rest) = self.rest.split_first().ok_or(LinkError::Nonsense)?;
        self.rest = rest;
        Ok(*first)
    }

    pub fn take(&mut self, count: usize) -> Result<&'a [u8], LinkError> {
        let (taken, rest) = self.rest.split_at_checked(count).ok_or(LinkError::Nonsense)?;
        self.rest = rest;
        Ok(taken)
    }

    pub fn exactly<const N: usize>(&mut self) -> Result<[u8; N], LinkError> {
        let (taken, rest) = self.rest.split_first_chunk().ok_or(LinkError::Nonsense)?;
        self.rest = rest;
        Ok(*taken)
    }

    pub fn number(&mut self) -> Result<u64, LinkError> {
        let mut number = 0;
        for shift in (0..64).step_by(7) {
            let byte = self.byte()?;
            let bits = u64::from(byte & 0x7f);
            if shift == 63 && bits > 1 {
                break;
            }
            number |= bits << shift;
            if byte < 0x80 {
                return Ok(number);
            }
        }
        Err(LinkError::Nonsense)
    }

    /// A number of things that each take at least a byte from here on, so that no count can ask for more room than
    /// what was given deserves.
    pub fn count(&mut self) -> Result<usize, LinkError> {
        let count = usize::try_from(self.number()?).map_err(|_| LinkError::Nonsense)?;
        if count > self.rest.len() { Err(LinkError::Nonsense) } else { Ok(count) }
    }

    /// A place in a list of so many.
    pub fn place(&mut self, of: usize) -> Result<usize, LinkError> {
        let place = usize::try_from(self.number()?).map_err(|_| LinkError::Nonsense)?;
        if place < of { Ok(place) } else { Err(LinkError::Nonsense) }
    }

    pub fn signed(&mut self) -> Result<i64, LinkError> {
        let number = self.number()?;
        Ok((number >> 1) as i64 ^ -((number & 1) as i64))
    }

    pub fn text(&mut self) -> Result<&'a str, LinkError> {
        let count = self.count()?;
        std::str::from_utf8(self.take(count)?).map_err(|_| LinkError::Nonsense)
    }

    /// Accounts for so many bytes in memory: a byte can stand for a long text that was given before.
    pub fn spend(&mut self, bytes: usize) -> Result<(), LinkError> {
        self.allowance = self.allowance.checked_sub(bytes).ok_or(LinkError::ExpandsTooFar)?;
        Ok(())
    }

    pub fn ended(&self) -> Result<(), LinkError> {
        if self.rest.is_empty() { Ok(()) } else { Err(LinkError::Nonsense) }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    proptest! {
        #[test]
        fn numbers_are_read_as_they_were_written(a: u64, b: i64, small in 0u64..300) {
            let mut out = Bytes::default();
            out.number(a);
            out.signed(b);
            out.number(small);
            let bytes: Vec<u8> = out.into();
            let mut reading = Reading::new(&bytes);
            prop_assert_eq!(reading.number().unwrap(), a);
            prop_assert_eq!(reading.signed().unwrap(), b);
            prop_assert_eq!(reading.number().unwrap(), small);
            prop_assert!(reading.ended().is_ok());
        }
    }

    #[test]
    fn a_number_that_never_ends_is_refused() {
        assert_eq!(Reading::new(&[0xff; 20]).number(), Err(LinkError::Nonsense));
        assert_eq!(Reading::new(&[0x80]).number(), Err(LinkError::Nonsense));
    }
}
