//! What has been brought to the class, as far as it is worked.

use crate::showing::once_for_the_page;
use crate::words::words;
use crate::worker::ask;
use crate::worker::requests::{Bring, Seat, Unseated};
use leptos::prelude::*;
use leptos::task::spawn_local;
use ribline_geometry::class::{Alignment, Line, Member, Overlay, Which, laid_over, table};
use ribline_geometry::json::{Form, parse};
use ribline_geometry::project::Project;
use std::sync::Arc;

use super::kept;

/// More than any class has: what the browser keeps for the page has an end.
pub const MOST: usize = 40;

/// A result that has been brought.
#[derive(Debug, Clone, PartialEq)]
pub struct Brought {
    /// Its own as long as it is kept.
    pub number: u32,
    pub name: String,
    /// The project's file.
    pub text: String,
    pub worked: Worked,
}

#[derive(Debug, Clone, PartialEq)]
pub enum Worked {
    NotYet,
    Good(Arc<Member>),
    /// Why not, as a sentence.
    Refused(String),
}

impl Brought {
    pub fn member(&self) -> Option<&Arc<Member>> {
        match &self.worked {
            Worked::Good(member) => Some(member),
            _ => None,
        }
    }
}

/// How the class is looked at.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Way {
    Over,
    Beside,
    Table,
}

#[derive(Clone, Copy)]
pub struct Room {
    pub all: RwSignal<Vec<Brought>>,
    /// What could not be taken, a sentence each.
    pub troubles: RwSignal<Vec<String>>,
    /// The names of what was taken last.
    pub taken: RwSignal<Vec<String>>,
    /// How many texts are still being opened.
    pub opening: RwSignal<usize>,
    pub way: RwSignal<Way>,
    pub alignment: RwSignal<Alignment>,
    /// How many times as large differences are drawn.
    pub times: RwSignal<f64>,
    /// The number of the result that is pointed at.
    pub pointed: RwSignal<Option<u32>>,
    /// What was removed last, until it is put back.
    pub removed: RwSignal<Option<Brought>>,
    /// Whether what this browser keeps has been read.
    read: RwSignal<bool>,
}

impl Room {
    pub fn new() -> Self {
        Room {
            all: RwSignal::new(Vec::new()),
            troubles: RwSignal::new(Vec::new()),
            taken: RwSignal::new(Vec::new()),
            opening: RwSignal::new(0),
            way: RwSignal::new(Way::Over),
            alignment: RwSignal::new(Alignment::Bottom),
            times: RwSignal::new(10.0),
            pointed: RwSignal::new(None),
            removed: RwSignal::new(None),
            read: RwSignal::new(false),
        }
    }

    /// Brings back what this browser keeps; once.
    pub fn enter(self) {
        if self.read.get_untracked() {
            return;
        }
        self.read.set(true);
        for (number, text) in kept::all() {
            let name = kept::name_in(&text);
            self.all
                .update(|all| all.push(Brought { number, name, text: text.clone(), worked: Worked::NotYet }));
            spawn_local(async move {
                let worked = match ask(Bring { text }).await {
                    Err(trouble) => Worked::Refused(trouble.sentence().to_owned()),
                    Ok(mut seats) => match seats.0.pop() {
                        Some(Ok(seat)) => worked(&seat),
                        Some(Err(unseated)) => Worked::Refused(unseated.why),
                        None => Worked::Refused(words().worker.not_understood.to_owned()),
                    },
                };
                self.all.update(|all| {
                    if let Some(brought) = all.iter_mut().find(|brought| brought.number == number) {
                        brought.worked = worked;
                    }
                });
            });
        }
    }

    /// Something else is brought: what was said of what came before is done with.
    pub fn begin(self) {
        self.troubles.set(Vec::new());
        self.taken.set(Vec::new());
    }

    /// Takes the results out of a text: a project's file of this name, or links.
    pub fn take(self, text: String, file: Option<String>) {
        self.take_and(text, file, |_| ());
    }

    /// The same, and tells whether the text was looked at: where it could not be, it is to be kept.
    pub fn take_and(self, text: String, file: Option<String>, told: impl FnOnce(bool) + 'static) {
        self.opening.update(|opening| *opening += 1);
        spawn_local(async move {
            let answer = ask(Bring { text }).await;
            told(answer.is_ok());
            self.seat(answer.map(|seats| seats.0).map_err(|trouble| trouble.sentence()), file.as_deref());
            self.opening.update(|opening| *opening = opening.saturating_sub(1));
        });
    }

    pub fn take_project(self, project: &Project) {
        self.take(project.without_photo().to_json(), None);
    }

    fn seat(self, seats: Result<Vec<Result<Seat, Unseated>>, &'static str>, file: Option<&str>) {
        let words = words().class();
        let mut taken = Vec::new();
        let trouble = |why: String| self.troubles.update(|all| all.push(why));
        match seats {
            Err(why) => trouble((words.not_taken)(&which(&Which::Whole, file), why)),
            Ok(seats) => {
                for seat in seats {
                    match seat {
                        Ok(seat) => match self.seated(seat, file) {
                            Ok(name) => taken.push(name),
                            Err(why) => trouble(why),
                        },
                        Err(Unseated { which: part, why }) => {
                            trouble((words.not_taken)(&which(&part, file), &why));
                        }
                    }
                }
            }
        }
        self.taken.update(|all| all.extend(taken));
    }

    /// Answers the name under which it is there now.
    fn seated(self, seat: Seat, file: Option<&str>) -> Result<String, String> {
        let words = words().class();
        let given = kept::name_in(&seat.project);
        let there = self.all.get_untracked();
        if let Some(same) = there.iter().find(|brought| kept::same(&brought.text, &seat.project)) {
            return Err((words.there_already)(&same.name));
        }
        if there.len() >= MOST {
            return Err((words.full)(MOST));
        }
        let base = if given.is_empty() {
            file.map_or_else(
                || (words.nameless)(there.len() + 1),
                |file| file.trim_end_matches(".json").to_owned(),
            )
        } else {
            given
        };
        let name = free_name(&base, there.iter().map(|brought| &brought.name));
        let text = kept::named(&seat.project, &name);
        // What was removed may still be put back under its own.
        let removed = self.removed.with_untracked(|removed| removed.as_ref().map(|brought| brought.number));
        let number = kept::next(there.iter().map(|brought| brought.number).chain(removed));
        if kept::keep(number, &text).is_err() {
            self.troubles.update(|all| all.push((words.not_kept)(&name)));
        }
        let worked = worked(&seat);
        self.all.update(|all| all.push(Brought { number, name: name.clone(), text, worked }));
        Ok(name)
    }

    pub fn rename(self, number: u32, name: &str) {
        let name = name.trim();
        self.all.update(|all| {
            if name.is_empty() {
                return;
            }
            let taken: Vec<String> =
                all.iter().filter(|other| other.number != number).map(|other| other.name.clone()).collect();
            if let Some(brought) = all.iter_mut().find(|brought| brought.number == number) {
                brought.name = free_name(name, taken.iter());
                brought.text = kept::named(&brought.text, &brought.name);
                if kept::keep(number, &brought.text).is_err() {
                    let why = (words().class().not_kept)(&brought.name);
                    self.troubles.update(|troubles| troubles.push(why));
                }
            }
        });
    }

    pub fn remove(self, number: u32) {
        kept::remove(number);
        self.all.update(|all| {
            if let Some(place) = all.iter().position(|brought| brought.number == number) {
                self.removed.set(Some(all.remove(place)));
            }
        });
        self.pointed.set(None);
        self.taken.set(Vec::new());
    }

    pub fn put_back(self) {
        let Some(brought) = self.removed.try_update(Option::take).flatten() else { return };
        if kept::keep(brought.number, &brought.text).is_err() {
            self.troubles.update(|all| all.push((words().class().not_kept)(&brought.name)));
        }
        self.all.update(|all| {
            let place = all.iter().position(|other| other.number > brought.number).unwrap_or(all.len());
            all.insert(place, brought);
        });
    }

    pub fn point_at(self, number: Option<u32>) {
        if self.pointed.get_untracked() != number {
            self.pointed.set(number);
        }
    }

    /// Something of those that could be worked, each with its place among all.
    pub fn with_good<T>(self, of: impl FnOnce(&[(usize, &Brought, &Member)]) -> T) -> T {
        self.all.with(|all| {
            let good: Vec<_> = all
                .iter()
                .enumerate()
                .filter_map(|(place, brought)| Some((place, brought, &**brought.member()?)))
                .collect();
            of(&good)
        })
    }

    pub fn good_count(self) -> usize {
        self.with_good(|good| good.len())
    }

    pub fn overlay(self) -> Overlay {
        let (at, times) = (self.alignment.get(), self.times.get());
        self.with_good(|good| laid_over(&members(good), at, times))
    }

    pub fn table(self) -> Vec<Line> {
        self.with_good(|good| table(&members(good)))
    }
}

impl Default for Room {
    fn default() -> Self {
        Room::new()
    }
}

/// The one room of the page, made when it is first asked for; it stays as it is while other steps are shown.
pub fn use_room() -> Room {
    once_for_the_page(Room::new)
}

fn members<'a>(good: &[(usize, &'a Brought, &'a Member)]) -> Vec<&'a Member> {
    good.iter().map(|(_, _, member)| *member).collect()
}

fn worked(seat: &Seat) -> Worked {
    let member = parse(&seat.member).ok().and_then(|value| Member::read(&value).ok());
    member.map_or_else(
        || Worked::Refused(words().worker.not_understood.to_owned()),
        |member| Worked::Good(Arc::new(member)),
    )
}

/// Which of the things brought is meant, for a sentence about it.
fn which(part: &Which, file: Option<&str>) -> String {
    let words = words().class();
    match (part, file) {
        (Which::Whole, Some(file)) => (words.the_file)(file),
        (Which::Whole, None) => words.the_text.to_owned(),
        (Which::Link { number, of, beside, ending }, file) => {
            (words.the_link)(*number, *of, beside, ending, file.unwrap_or_default())
        }
        (Which::LinksBeyond { from, to }, file) => (words.links_beyond)(*from, *to, file.unwrap_or_default()),
    }
}

fn free_name<'a>(name: &str, there: impl Iterator<Item = &'a String> + Clone) -> String {
    let taken = |candidate: &str| there.clone().any(|other| other == candidate);
    if !taken(name) {
        return name.to_owned();
    }
    (2..).map(|k| format!("{name} ({k})")).find(|candidate| !taken(candidate)).unwrap_or_default()
}
