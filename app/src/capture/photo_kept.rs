//! The open photo and what was tapped on it, kept in this browser: they are there again when the page is next opened. The
//! picture's file is in the browser's database, which takes files of any size; what was said of it, which changes with every
//! tap, is written beside it at once, under a name that tells which picture it belongs to.

use super::kept::KeptPhoto;
use super::opening::Turned;
use super::said::Said;
use crate::storage::local;
use idb::{Database, DatabaseEvent, Factory, ObjectStoreParams, TransactionMode};
use ribline_geometry::json::{Fields, Layout, Map, Value, parse};
use wasm_bindgen::{JsCast, JsValue};
use web_sys::File;

const DATABASE: &str = "ribline";
const STORE: &str = "photo";
/// The one entry of that store.
const OPEN: &str = "open";
/// Followed by what tells the picture from others.
const SAID: &str = "ribline.photo-taps.";

/// Two pictures of one name, length and time are the same.
fn key(file: &File) -> String {
    format!("{SAID}{}.{}.{}", file.size(), file.last_modified(), file.name())
}

async fn database() -> Result<Database, idb::Error> {
    let mut opening = Factory::new()?.open(DATABASE, Some(1))?;
    opening.on_upgrade_needed(|event| {
        // Without its store, whatever is asked of the database is refused, and that is told.
        if let Ok(database) = event.database() {
            let _ = database.create_object_store(STORE, ObjectStoreParams::new());
        }
    });
    opening.await
}

/// Keeps a picture in the place of the one before.
///
/// # Errors
/// Where the browser has no room for it.
pub async fn keep_file(file: &File) -> Result<(), idb::Error> {
    let database = database().await?;
    let change = database.transaction(&[STORE], TransactionMode::ReadWrite)?;
    change.object_store(STORE)?.put(file, Some(&OPEN.into()))?.await?;
    change.commit()?.await?;
    database.close();
    Ok(())
}

/// Forgets what was said of pictures other than this, which is the one that is kept.
pub fn forget_others(file: &File) {
    let Some(storage) = local() else { return };
    let all = (0..storage.length().unwrap_or(0)).filter_map(|k| storage.key(k).ok().flatten());
    let others: Vec<String> = all.filter(|name| name.starts_with(SAID) && *name != key(file)).collect();
    for other in others {
        let _ = storage.remove_item(&other);
    }
}

/// Whether there was room for what was said of a picture.
pub fn keep_said(photo: &KeptPhoto) -> bool {
    let value = Value::Object(Map::new().with("turned", &photo.turned).with("said", &photo.said));
    let text = Layout::OPEN.text_of(&value);
    local().is_some_and(|storage| storage.set_item(&key(&photo.file), &text).is_ok())
}

/// The picture that was last open, if the browser still has it, and what was said of it.
pub async fn find() -> Option<(File, Option<(Turned, Said)>)> {
    let file = get().await.ok()??;
    let said = local().and_then(|storage| read(&storage.get_item(&key(&file)).ok()??));
    Some((file, said))
}

async fn get() -> Result<Option<File>, idb::Error> {
    let database = database().await?;
    let look = database.transaction(&[STORE], TransactionMode::ReadOnly)?;
    let found = look.object_store(STORE)?.get(JsValue::from(OPEN))?.await?;
    database.close();
    Ok(found.and_then(|found| found.dyn_into().ok()))
}

fn read(text: &str) -> Option<(Turned, Said)> {
    let value = parse(text).ok()?;
    let mut fields = Fields::of(&value, "a photo in { }").ok()?;
    Some((fields.take("turned").ok()?, fields.take("said").ok()?))
}
