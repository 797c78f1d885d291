//! The page that needs nothing installed, as it was built: what its tests have in common.
//!
//! `WEDGEBOOK_PAGE` names the file, else it is `target/page/wedgebook.html`. Where there is none, or no
//! browser, a test says what it skips.

use crate::desk::Desk;
use crate::driver::{Browser, browser, of_base64, skipped};
use serde_json::{Value, json};
use std::path::{Path, PathBuf};

/// The file of the page.
pub fn file() -> PathBuf {
    std::env::var_os("WEDGEBOOK_PAGE").map_or_else(
        || Path::new(env!("CARGO_MANIFEST_DIR")).join("target/page/wedgebook.html"),
        PathBuf::from,
    )
}

/// The page in a browser of its own, ready to answer.
pub fn page(what: &str, width: u32, height: u32) -> Option<Browser> {
    if !file().is_file() {
        let ci = std::env::var("CI").is_ok_and(|ci| ci == "true");
        assert!(!ci, "{what}: the page is not built");
        skipped(what, "target/page/wedgebook.html");
        return None;
    }
    let browser = browser(what, width, height)?;
    browser.open(&file());
    ready(&browser);
    Some(browser)
}

/// A tap on what an answer may replace at the same time: WebDriver's own click is between two looks at it.
pub fn press(browser: &Browser, id: &str) {
    browser.until(&format!("document.getElementById('{id}')"));
    browser.run("document.getElementById(arguments[0]).click();", json!([id]));
}

/// Waits for the program, and for the folder that is laid down at the first visit.
pub fn ready(browser: &Browser) {
    browser.until("document.documentElement.dataset.ready === 'true'");
    browser.until("document.getElementById('main').dataset.done === 'true'");
    wait_for_file(browser, "wedgebook.toml");
}

/// Shows a screen, and waits until it is drawn.
pub fn go(browser: &Browser, screen: &str) {
    browser.run("location.hash = arguments[0];", json!([screen]));
    drawn(browser, screen);
}

pub fn drawn(browser: &Browser, screen: &str) {
    browser.until(&format!(
        "document.getElementById('main').dataset.screen === '{screen}' && document.getElementById('main').dataset.done === 'true'"
    ));
}

pub fn reload(browser: &Browser, screen: &str) {
    browser.reload();
    ready(browser);
    drawn(browser, screen);
}

/// All files of the page's folder, with what is in them.
pub fn files(browser: &Browser) -> Vec<(String, Vec<u8>)> {
    let script = "return (async () => {
        const result = (request) => new Promise((yes, no) => { request.onsuccess = () => yes(request.result); request.onerror = () => no(request.error); });
        const database = await result(indexedDB.open('wedgebook-folder'));
        const files = database.transaction('files').objectStore('files');
        const [names, bytes] = await Promise.all([result(files.getAllKeys()), result(files.getAll())]);
        database.close();
        return names.map((name, n) => [name, btoa(Array.from(bytes[n], (byte) => String.fromCharCode(byte)).join(''))]);
    })();";
    let all = browser.run(script, json!([]));
    let one =
        |pair: &Value| (pair[0].as_str().unwrap().to_owned(), of_base64(pair[1].as_str().unwrap()));
    all.as_array().unwrap().iter().map(one).collect()
}

pub fn wait_for_file(browser: &Browser, name: &str) {
    for _ in 0..600 {
        if files(browser).iter().any(|(other, _)| other == name) {
            return;
        }
        std::thread::sleep(std::time::Duration::from_millis(100));
    }
    panic!("{name} is not among {:?}", names(browser));
}

pub fn names(browser: &Browser) -> Vec<String> {
    files(browser).into_iter().map(|(name, _)| name).collect()
}

/// The page's files on a desk, for the binary.
pub fn on_desk(browser: &Browser) -> Desk {
    let desk = Desk::empty();
    for (name, bytes) in files(browser) {
        let path = desk.path().join(name);
        std::fs::create_dir_all(path.parent().unwrap()).unwrap();
        std::fs::write(path, bytes).unwrap();
    }
    desk
}

/// What the page's program answers to a command line: status, standard output, messages.
pub fn ask(browser: &Browser, args: &[&str]) -> (i64, String, String) {
    let script =
        "return wedgebook.ask(arguments[0]).then(({ status, out, err }) => [status, out, err]);";
    let said = browser.run(script, json!([args]));
    let text = |k: usize| said[k].as_str().unwrap().to_owned();
    (said[0].as_i64().unwrap(), text(1), text(2))
}

/// Files given to the page by its field.
pub fn give(browser: &Browser, field: &str, paths: &[PathBuf]) {
    let paths: Vec<String> = paths.iter().map(|path| path.display().to_string()).collect();
    browser.type_into(field, &paths.join("\n"));
}

/// Keeps what is seen for somebody to look at, where `WEDGEBOOK_SHOTS` names a folder.
pub fn shot(browser: &Browser, name: &str) {
    if let Ok(folder) = std::env::var("WEDGEBOOK_SHOTS") {
        std::fs::write(format!("{folder}/{name}.png"), browser.screenshot()).unwrap();
    }
}

/// No error stood on the console, and no request left the file.
pub fn quiet(browser: &Browser) {
    assert_eq!(browser.complaints(), Vec::<String>::new());
    let own = format!("file://{}", file().display());
    let allowed = |url: &&String| {
        !(url.starts_with(&own)
            || url.starts_with("blob:")
            || url.starts_with("data:")
            || *url == "about:srcdoc")
    };
    let requests = browser.requests();
    assert!(!requests.is_empty());
    assert_eq!(requests.iter().filter(allowed).collect::<Vec<_>>(), Vec::<&String>::new());
}
