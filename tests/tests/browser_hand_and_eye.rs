//! What the other browser tests rely on: that a click, a drag or a dropped file reaches a page as a person's does,
//! and that a page's errors do not go unseen. Tried on a page that writes down everything that happens to it.

use std::panic::{AssertUnwindSafe, catch_unwind};
use std::path::Path;

use kurbo::{Point, Vec2};
use ribline_tests::page::{Key, Page, Scheme, Screen, by_test_id};
use tempfile::TempDir;

const DIARY: &str = r#"<!DOCTYPE html>
<meta charset="utf-8"><meta name="viewport" content="width=device-width, initial-scale=1">
<link rel="icon" href="data:,">
<style>
  body { margin: 0 } #board { position: absolute; left: 100px; top: 300px; width: 200px; height: 200px; touch-action: none }
</style>
<p data-test="title">Diary</p>
<button>Press</button> <input id="field" value="old"> <textarea></textarea>
<select><option value="a">A</option><option value="b">B</option></select>
<input type="file" hidden>
<a href="data:text/plain,kept" download="kept.csv">Keep</a>
<div id="board">Board</div>
<pre id="diary"></pre>
<script>
  const write = line => document.querySelector('#diary').append(line + '\n');
  const on = (css, kind, line) => document.querySelector(css).addEventListener(kind, async e => {
    e.preventDefault(); write(await line(e));
  });
  on('button', 'click', e => 'click ' + e.isTrusted);
  on('select', 'change', e => 'chose ' + e.target.value);
  on('input[type=file]', 'change', async e => 'file ' + e.target.files[0].name + ' ' + await e.target.files[0].text());
  on('#board', 'drop', async e => 'drop ' + e.dataTransfer.files[0].name + ' ' + await e.dataTransfer.files[0].text());
  on('#board', 'dragover', e => 'over');
  on('#board', 'wheel', e => `wheel ${e.deltaX} ${e.deltaY} ${e.ctrlKey} ${e.clientX} ${e.clientY}`);
  for (const kind of ['pointerdown', 'pointermove', 'pointerup'])
    on('#board', kind, e => `${kind} ${e.pointerType} ${Math.round(e.clientX)} ${Math.round(e.clientY)} ${e.buttons}`);
</script>"#;

fn diary(screen: Screen) -> (Page, TempDir) {
    let folder = TempDir::new().expect("a folder for the page");
    std::fs::write(folder.path().join("index.html"), DIARY).expect("the page's file");
    (Page::open_folder(screen, folder.path(), ""), folder)
}

fn lines(page: &Page, beginning: &str) -> Vec<String> {
    page.text("#diary").lines().filter(|line| line.starts_with(beginning)).map(str::to_owned).collect()
}

#[test]
fn buttons_and_fields_take_what_a_hand_gives_them() {
    let (page, _folder) = diary(Screen::DESK);
    assert_eq!(page.text(&by_test_id("title")), "Diary");
    page.click("button");
    page.wait_for_words("#diary", "click true");
    page.type_into("#field", " and more");
    assert_eq!(page.value("#field"), "old and more");
    page.fill("#field", "3,5");
    assert_eq!(page.value("#field"), "3,5");
    page.press(&Key::Backspace.to_string());
    assert_eq!(page.value("#field"), "3,");
    page.fill("#field", "");
    assert_eq!(page.value("#field"), "");
    page.paste("textarea", "y_mm,left_mm,right_mm\n0,1,2");
    assert_eq!(page.value("textarea"), "y_mm,left_mm,right_mm\n0,1,2");
    page.choose("select", "b");
    page.wait_for_words("#diary", "chose b");
    assert_eq!(page.attribute("a", "download").as_deref(), Some("kept.csv"));
    assert_eq!(page.texts("option"), ["A", "B"]);
    assert!(page.shows("button"));
    assert!(!page.shows("input[type=file]"));
    assert!(!page.shows("#nowhere"));
    assert_eq!(page.console_errors(), []);
}

#[test]
fn files_go_in_and_come_out() {
    let (page, _folder) = diary(Screen::DESK);
    page.upload_as("input[type=file]", "trace.csv", "x_mm;y_mm\n1,5;2 é".as_bytes());
    page.wait_for_words("#diary", "file trace.csv x_mm;y_mm\n1,5;2 é");
    page.drop_file("#board", "dropped.csv", "x_mm,y_mm é".as_bytes());
    page.wait_for_words("#diary", "drop dropped.csv x_mm,y_mm é");
    page.click("a");
    assert_eq!(std::fs::read_to_string(page.downloaded("kept.csv")).ok().as_deref(), Some("kept"));
}

#[test]
fn a_mouse_drags_points_and_wheels() {
    let (page, _folder) = diary(Screen::DESK);
    assert_eq!(page.place("#board").origin(), Point::new(100.0, 300.0));
    page.drag(Point::new(120.0, 320.0), Point::new(160.0, 400.0), 3);
    page.wait_for_words("#diary", "pointerup mouse 160 400 0");
    assert_eq!(lines(&page, "pointerdown"), ["pointerdown mouse 120 320 1"]);
    let dragged = lines(&page, "pointermove").iter().filter(|line| line.ends_with(" 1")).count();
    assert!(dragged >= 3, "the page saw {dragged} moves of the drag");
    page.click_at(Point::new(200.0, 350.0));
    page.wait_for_words("#diary", "pointerup mouse 200 350 0");
    page.point_at(Point::new(210.0, 360.0));
    page.wait_for_words("#diary", "pointermove mouse 210 360 0");
    page.wheel(Point::new(150.0, 350.0), Vec2::new(0.0, 120.0), false);
    page.wait_for_words("#diary", "wheel 0 120 false 150 350");
    page.wheel(Point::new(150.0, 350.0), Vec2::new(0.0, -40.0), true);
    page.wait_for_words("#diary", "wheel 0 -40 true 150 350");
}

#[test]
fn a_finger_drags_and_two_pinch() {
    let (page, _folder) = diary(Screen::PHONE);
    assert_eq!(
        page.js("return [innerWidth, innerHeight, devicePixelRatio]", vec![]),
        serde_json::json!([390, 844, 1])
    );
    assert_eq!(page.js("return matchMedia('(pointer: coarse)').matches", vec![]), true);
    page.drag(Point::new(120.0, 320.0), Point::new(160.0, 400.0), 3);
    page.wait_for_words("#diary", "pointerup touch 160 400");
    page.pinch(Point::new(200.0, 400.0), 40.0, 120.0, 4);
    page.wait_for_words("#diary", "pointerup touch 140 400");
    page.wait_for_words("#diary", "pointerup touch 260 400");
    assert_eq!(lines(&page, "pointerdown").len(), 3);
    page.click_at(page.place("button").center());
    page.wait_for_words("#diary", "click true");
}

#[test]
fn each_screen_has_its_size_and_its_colours() {
    let (page, _folder) = diary(Screen::DESK);
    let seen = "return [innerWidth, innerHeight, devicePixelRatio, matchMedia('(prefers-color-scheme: dark)').matches]";
    assert_eq!(page.js(seen, vec![]), serde_json::json!([1280, 800, 1, false]));
    assert_eq!(page.js("return matchMedia('(pointer: fine)').matches", vec![]), true);
    page.look_through(Screen { width: 820, height: 1180, ..Screen::DESK }.in_scheme(Scheme::Dark));
    page.reload();
    assert_eq!(page.js(seen, vec![]), serde_json::json!([820, 1180, 1, true]));
}

#[test]
fn an_error_in_the_page_is_seen() {
    let (page, _folder) = diary(Screen::DESK);
    page.js("setTimeout(() => { throw new Error('something broke') })", vec![]);
    page.wait_until("the error", |page| {
        page.console_errors().iter().any(|line| line.text.contains("something broke"))
    });
    page.js("fetch('missing.bin')", vec![]);
    page.wait_until("the missing file", |page| {
        page.console_errors().iter().any(|line| line.text.contains("missing.bin"))
    });
}

#[test]
fn no_browser_outlives_a_test_that_fails() {
    let profile = catch_unwind(AssertUnwindSafe(|| {
        let (page, _folder) = diary(Screen::DESK);
        let profile = page.profile();
        assert!(is_in_use(&profile), "a browser that runs names its profile");
        std::panic::panic_any(profile);
    }));
    let profile =
        profile.expect_err("the panic above").downcast::<std::path::PathBuf>().expect("its profile");
    assert!(!is_in_use(&profile));
    assert!(!profile.exists());
}

/// Whether a running process names the profile on its command line.
fn is_in_use(profile: &Path) -> bool {
    let processes = std::fs::read_dir("/proc").expect("the list of processes");
    let mut command_lines = processes.filter_map(|one| std::fs::read(one.ok()?.path().join("cmdline")).ok());
    command_lines.any(|line| String::from_utf8_lossy(&line).contains(&*profile.to_string_lossy()))
}
