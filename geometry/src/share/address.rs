//! Where a link stands in an address: in the fragment, the part from # on, which a browser keeps to itself.
//!
//! The page also keeps the step of the job there. Both have room: what is between & and & is one or the other, and a
//! link begins with `r=`.

use super::LONGEST_LINK;
use super::error::ShareError;

const LINK: &str = "r=";

/// The text of the link in an address or its fragment.
///
/// ```
/// use ribline_geometry::share::address::link_in;
/// assert_eq!(link_in("https://example.org/#r=AQAB"), Some("AQAB"));
/// assert_eq!(link_in("#edge&r=AQAB"), Some("AQAB"));
/// assert_eq!(link_in("#edge"), None);
/// ```
pub fn link_in(address: &str) -> Option<&str> {
    parts(address).find_map(|part| part.strip_prefix(LINK))
}

/// What else is in the fragment: the step.
pub fn step_in(address: &str) -> Option<&str> {
    parts(address).find(|part| !part.is_empty() && !part.contains('='))
}

fn parts(address: &str) -> impl Iterator<Item = &str> {
    address.split_once('#').map_or("", |(_, fragment)| fragment).split('&')
}

/// The whole link to a page with what is shared, as [`super::write`] gives it.
///
/// # Errors
/// [`ShareError::TooLong`].
pub fn link(page: &str, text: &str) -> Result<String, ShareError> {
    let page = page.split('#').next().unwrap_or_default();
    let link = format!("{page}#{LINK}{text}");
    let characters = link.chars().count();
    if characters > LONGEST_LINK { Err(ShareError::TooLong { characters }) } else { Ok(link) }
}
