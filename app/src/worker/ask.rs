//! The page's side: one worker, fetched and started when it is first asked for something.

use super::parcel::{OF_ITSELF, Parcel};
use super::requests::{Asked, Request};
use crate::words::words;
use futures_channel::oneshot;
use gloo::events::EventListener;
use gloo::file::{Blob, ObjectUrl};
use leptos::prelude::document;
use std::cell::RefCell;
use wasm_bindgen::JsCast;
use web_sys::{Event, MessageEvent, Worker};

/// Why the worker gave no answer; each has a sentence.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Trouble {
    /// Its files could not be fetched, or the browser does not let it run.
    NotLoaded,
    /// It broke down over this or an earlier request. The next request starts another.
    Stopped,
    /// The page and the worker do not understand one another: one of them is of an older edition.
    NotUnderstood,
}

impl Trouble {
    pub fn sentence(self) -> &'static str {
        let words = &words().worker;
        match self {
            Trouble::NotLoaded => words.not_loaded,
            Trouble::Stopped => words.stopped,
            Trouble::NotUnderstood => words.not_understood,
        }
    }
}

/// Asks the worker, and waits for its answer. Requests are answered one after another, in the order in which they
/// were made; a request whose answer nobody waits for any more is answered to nobody.
///
/// # Errors
/// [`Trouble`], never for want of patience: work may take as long as it takes.
pub async fn ask<A: Asked>(asked: A) -> Result<A::Answer, Trouble> {
    let answer = post(asked.into())?.await.unwrap_or(Err(Trouble::Stopped))?;
    answer.unpacked().ok_or(Trouble::NotUnderstood)
}

type Answered = Result<Parcel, Trouble>;

/// The worker, and what is between it and the page.
struct Hand {
    worker: Worker,
    ready: bool,
    /// Asked before the worker was ready to hear it.
    unsent: Vec<Parcel>,
    waiting: Vec<(u32, oneshot::Sender<Answered>)>,
    _heard: [EventListener; 2],
    /// The loader's address must hold until the worker has read it.
    _loader: ObjectUrl,
}

#[derive(Default)]
struct Desk {
    last_number: u32,
    hand: Option<Hand>,
}

thread_local! {
    static DESK: RefCell<Desk> = RefCell::default();
}

fn post(request: Request) -> Result<oneshot::Receiver<Answered>, Trouble> {
    DESK.with_borrow_mut(|desk| {
        desk.last_number += 1;
        let parcel = Parcel::of(desk.last_number, request);
        let hand = match &mut desk.hand {
            Some(hand) => hand,
            none => none.insert(Hand::start()?),
        };
        let (answer, answered) = oneshot::channel();
        hand.waiting.push((parcel.number, answer));
        if hand.ready {
            hand.send(parcel)
        } else {
            hand.unsent.push(parcel)
        }
        Ok(answered)
    })
}

impl Hand {
    fn start() -> Result<Hand, Trouble> {
        let loader = ObjectUrl::from(Blob::new_with_options(&*loader(), Some("text/javascript")));
        let worker = Worker::new(&loader).map_err(|_| Trouble::NotLoaded)?;
        let heard = [
            EventListener::new(&worker, "message", |event| {
                if let Some(message) = event.dyn_ref::<MessageEvent>() {
                    hear(Parcel::from_message(&message.data()));
                }
            }),
            // An exception that nobody caught over there.
            EventListener::new(&worker, "error", |_: &Event| {
                let ready = DESK.with_borrow(|desk| desk.hand.as_ref().is_some_and(|hand| hand.ready));
                dismiss(if ready { Trouble::Stopped } else { Trouble::NotLoaded });
            }),
        ];
        Ok(Hand {
            worker,
            ready: false,
            unsent: Vec::new(),
            waiting: Vec::new(),
            _heard: heard,
            _loader: loader,
        })
    }

    fn send(&self, parcel: Parcel) {
        let (message, handed_over) = parcel.into_message();
        // Text and bytes can always be cloned, which is all that could be refused.
        let _ = self.worker.post_message_with_transfer(&message, &handed_over);
    }
}

fn hear(parcel: Option<Parcel>) {
    let Some(parcel) = parcel else { return dismiss(Trouble::NotUnderstood) };
    if parcel.number == OF_ITSELF {
        return if parcel.texts.is_empty() { begin() } else { dismiss(Trouble::NotLoaded) };
    }
    let waiting = DESK.with_borrow_mut(|desk| {
        let waiting = &mut desk.hand.as_mut()?.waiting;
        let place = waiting.iter().position(|(number, _)| *number == parcel.number)?;
        Some(waiting.remove(place).1)
    });
    if let Some(waiting) = waiting {
        let _ = waiting.send(Ok(parcel));
    }
}

/// The worker is ready: it gets what was asked meanwhile.
fn begin() {
    DESK.with_borrow_mut(|desk| {
        if let Some(hand) = &mut desk.hand {
            hand.ready = true;
            std::mem::take(&mut hand.unsent).into_iter().for_each(|parcel| hand.send(parcel));
        }
    });
}

/// Lets a worker go that is no good, and says so to all who wait for it.
fn dismiss(trouble: Trouble) {
    let hand = DESK.with_borrow_mut(|desk| desk.hand.take());
    if let Some(hand) = hand {
        hand.worker.terminate();
        for (_, waiting) in hand.waiting {
            let _ = waiting.send(Err(trouble));
        }
    }
}

/// Lets the worker go with all that it keeps: what it has had of memory comes back in no other way. The next request starts
/// another; who still waits for an answer of this one gets [`Trouble::Stopped`].
pub fn let_go() {
    dismiss(Trouble::Stopped);
}

/// What the worker runs first: it fetches the program beside the page. The files of a worker have the same names in
/// every edition; asked for with the name of the page's own script, which has not, an older one kept by the browser is
/// passed over.
fn loader() -> String {
    let base = document().base_uri().ok().flatten().unwrap_or_default();
    let folder =
        base.split(['?', '#']).next().and_then(|page| page.rsplit_once('/')).map_or("", |(folder, _)| folder);
    let edition = document().query_selector("link[rel=modulepreload]").ok().flatten();
    let edition = edition.and_then(|link| link.get_attribute("href")).unwrap_or_default();
    let edition = edition.rsplit('/').next().unwrap_or_default();
    // A promise that is broken over there is no error over here.
    format!(
        "const failed=e=>postMessage([{OF_ITSELF},[String(e)],[]]);\
         try{{importScripts('{folder}/worker.js?{edition}');\
         wasm_bindgen({{module_or_path:'{folder}/worker_bg.wasm?{edition}'}}).catch(failed)}}catch(e){{failed(e)}}"
    )
}
