//! The built page in a real Chromium.

use std::net::{Ipv4Addr, TcpListener};

use ribline_tests::page::{Page, Screen};
use serde_json::json;

#[test]
fn the_page_opens_without_a_console_error() {
    let page = Page::open(Screen::DESK);
    assert!(!page.text("body").trim().is_empty());
    assert_eq!(page.console_errors(), []);
}

/// W3C, Content Security Policy Level 3: a blocked request never leaves, and reports the directive that blocked it.
#[test]
fn the_page_can_send_nothing_to_another_host() {
    let page = Page::open(Screen::DESK);
    let elsewhere = TcpListener::bind((Ipv4Addr::LOCALHOST, 0)).expect("a free port");
    elsewhere.set_nonblocking(true).expect("a port that can be asked who came");
    let url = format!("http://{}/", elsewhere.local_addr().expect("the port just bound"));
    let script = "const [url] = arguments; const blocked = []; \
                  document.addEventListener('securitypolicyviolation', e => blocked.push(e.effectiveDirective)); \
                  return fetch(url, { method: 'POST', body: 'points', mode: 'no-cors' }).then(() => 'sent', () => 'not sent') \
                      .then(async fate => { await new Promise(done => setTimeout(done)); return [fate, ...blocked]; })";
    assert_eq!(page.js(script, vec![json!(url)]), json!(["not sent", "connect-src"]));
    assert!(elsewhere.accept().is_err(), "somebody knocked at the other host's door");
}
