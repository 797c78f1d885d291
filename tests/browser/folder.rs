//! The page's core and its folder in a real browser, opened as a bare file: without the page's screens.

use crate::driver::{Browser, browser, skipped};
use serde_json::json;
use std::path::PathBuf;

/// The core and the folder, made by `node page/build.mjs` beside the page.
fn parts(what: &str) -> Option<PathBuf> {
    let target = PathBuf::from(env!("CARGO_BIN_EXE_wedgebook"));
    let file = target.ancestors().nth(2).unwrap().join("page/parts.html");
    if file.exists() {
        return Some(file);
    }
    let ci = std::env::var("CI").is_ok_and(|ci| ci == "true");
    assert!(!ci, "{what}: there is no page");
    skipped(what, "the page, (cd page && npm ci && node build.mjs),");
    None
}

fn opened(what: &str) -> Option<Browser> {
    let file = parts(what)?;
    let browser = browser(what, 800, 600)?;
    browser.open(&file);
    Some(browser)
}

const BEGIN: &str = r#"
const bytes = (text) => new TextEncoder().encode(text);
const text = (bytes) => bytes && new TextDecoder().decode(bytes);
globalThis.core ??= await parts.Core.open();
globalThis.folder ??= await parts.Folder.open('test');
"#;

/// Runs a script in which `core` and `folder` are open.
fn run(browser: &Browser, script: &str) -> serde_json::Value {
    browser.run(&format!("return (async () => {{ {BEGIN} {script} }})();"), json!([]))
}

const STRIP: &str =
    "step,log_exposure,density\n1,-3,0.3\n2,-2.4,0.34\n3,-1.8,0.6\n4,-1.2,0.98\n5,-0.6,1.4\n";

#[test]
fn questions_are_answered_beside_the_page_and_files_stay() {
    let Some(browser) = opened("the core in a browser") else { return };
    let answered = browser.run(
        &format!(
            "return (async () => {{ {BEGIN}
            await folder.write('data/strip.csv', bytes(arguments[0]));
            const answer = await folder.ask(core, ['curve', 'data/strip.csv', '--json', '--csv', 'curve.csv']);
            await folder.ask(core, ['bath', 'mix', 'bath.csv', '--litres', '1']);
            return [core.beside, answer.status, JSON.parse(answer.out).strips.length, await folder.names()]; }})();"
        ).replace("arguments[0]", &json!(STRIP).to_string()),
        json!([]),
    );
    assert_eq!(answered, json!([true, 0, 1, ["bath.csv", "curve.csv", "data/strip.csv"]]));
    browser.reload();
    let kept = run(
        &browser,
        "return [await folder.names(), text(await folder.read('data/strip.csv')), await folder.read('none')];",
    );
    assert_eq!(kept, json!([["bath.csv", "curve.csv", "data/strip.csv"], STRIP, null]));
    let standing = run(&browser, "return (await folder.standing()).state;");
    assert_eq!(standing, "file");
    let day = run(
        &browser,
        "return [text(await folder.read('bath.csv')).includes(new Date().toLocaleDateString('sv'))];",
    );
    assert_eq!(day, json!([true]));
    // No other request than that of the page itself.
    let requests = browser.requests();
    assert!(
        requests.iter().all(|r| r.ends_with("parts.html") || r.starts_with("blob:")),
        "{requests:?}"
    );
    assert_eq!(browser.complaints(), Vec::<String>::new());
}

#[test]
fn two_windows_do_not_overwrite_each_other() {
    let Some(browser) = opened("two windows") else { return };
    run(&browser, "await folder.ask(core, ['bath', 'mix', 'bath.csv', '--litres', '5', '--date', '2026-01-01'], {today: '2026-11-30'});
        globalThis.heard = []; folder.onchange = (names) => heard.push(...names);");
    let first = browser.window();
    let second = browser.new_window();
    browser.to_window(&second);
    browser.open(&parts("two windows").unwrap());
    // Both enter at the same time: each entry is there in the end, once.
    let enter = "return (async () => { BEGIN
        globalThis.done = Promise.all(Array.from({ length: 12 }, (_, i) => folder.ask(core,
            ['bath', 'note', 'bath.csv', `WHO ${i}`, '--date', '2026-01-02'], { today: '2026-11-30' }))); })();"
        .replace("BEGIN", BEGIN);
    browser.run(&enter.replace("WHO", "second"), json!([]));
    browser.to_window(&first);
    browser.run(&enter.replace("WHO", "first"), json!([]));
    let statuses = run(&browser, "return (await done).map(({ status }) => status);");
    assert_eq!(statuses, json!(vec![0; 12]));
    browser.to_window(&second);
    run(&browser, "await done;");
    let journal = run(&browser, "return text(await folder.read('bath.csv'));");
    let journal = journal.as_str().unwrap();
    for who in ["first", "second"] {
        for i in 0..12 {
            let entered = journal.matches(&format!(",{who} {i},")).count();
            assert_eq!(entered, 1, "{who} {i}: {journal}");
        }
    }
    browser.to_window(&first);
    let heard =
        run(&browser, "return heard.length >= 12 && heard.every((name) => name === 'bath.csv');");
    assert_eq!(heard, true);
}

#[test]
fn where_storage_is_full_nothing_is_lost_and_it_is_said() {
    let Some(browser) = opened("full storage") else { return };
    // Before the first file: the browser asks for the room only now and then.
    browser.command(
        "Storage.overrideQuotaForOrigin",
        json!({ "origin": "file://", "quotaSize": 100_000 }),
    );
    run(
        &browser,
        "await folder.write('bath.csv', bytes('kept')); await folder.write('old.csv', bytes('old'));",
    );
    let said = run(&browser, "
        const large = crypto.getRandomValues(new Uint8Array(60000));
        const many = new Map(Array.from({ length: 200 }, (_, i) => [`large-${i}`, large.slice()]));
        many.set('bath.csv', bytes('lost')); many.set('old.csv', null);
        try { await folder.change(many); return 'kept'; } catch (error) { return [error.name, error.message]; }");
    assert_eq!(said[0], "NotKept", "{said}");
    let kept = run(
        &browser,
        "return [await folder.names(), text(await folder.read('bath.csv')), text(await folder.read('old.csv'))];",
    );
    assert_eq!(kept, json!([["bath.csv", "old.csv"], "kept", "old"]));
    assert!(said[1].as_str().unwrap().contains("no room left"), "{said}");
}

#[test]
fn a_folder_goes_out_and_in_as_a_zip_and_hostile_names_are_refused() {
    let Some(browser) = opened("zips") else { return };
    let result = run(
        &browser,
        r#"
        const files = new Map([['bath.csv', bytes('a')], ['data/größe ß.csv', bytes('b')], ['constructor', bytes('c')]]);
        const zip = parts.packed(files);
        const back = parts.unpacked(zip);
        const same = [...files].every(([name, content]) => text(back.files.get(name)) === text(content));
        const within = parts.unpacked(parts.packed(new Map([['desk/a.csv', bytes('1')], ['desk/data/b.csv', bytes('2')]])));
        const bad = parts.unpacked(parts.packed(new Map([['ok.csv', bytes('1')], ['../up.csv', bytes('2')], ['/etc/x', bytes('3')], ['a\u0000b', bytes('4')], ['c:\\x', bytes('5')]])));
        let damaged = 0;
        for (let at = 0; at < 500; at += 1) {
          const broken = zip.slice(0, at % 2 ? undefined : 1 + at % zip.length);
          if (at % 2) broken[(at * 7919) % broken.length] ^= 0xff;
          try { parts.unpacked(broken); } catch (error) { if (error.name !== 'NotKept') return String(error); damaged += 1; }
        }
        let proto = '';
        try { parts.checkedName('data/__proto__'); } catch (error) { proto = error.name; }
        if (proto !== 'NotKept') return proto;
        return [same, back.refused.length, [...within.files.keys()], [...bad.files.keys()], bad.refused.length, damaged > 100, parts.isZip('x.zip', zip), parts.isZip('x.ods', zip)];"#,
    );
    assert_eq!(result, json!([true, 0, ["a.csv", "data/b.csv"], ["ok.csv"], 4, true, true, false]));
}
