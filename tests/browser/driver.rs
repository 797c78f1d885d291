//! A browser without a window, driven over plain WebDriver HTTP (W3C WebDriver, 2018).

use serde_json::{Value, json};
use std::io::{BufRead, BufReader, Read, Write};
use std::net::TcpStream;
use std::path::Path;
use std::process::{Child, Command, Stdio};
use std::sync::{Mutex, MutexGuard, PoisonError};

/// The key under which WebDriver names an element.
const ELEMENT: &str = "element-6066-11e4-a52e-4f735466cecf";

/// One browser at a time: a machine may be small.
static ONE: Mutex<()> = Mutex::new(());

/// A browser with one page.
pub struct Browser {
    driver: Child,
    port: u16,
    session: String,
    _profile: tempfile::TempDir,
    _one: MutexGuard<'static, ()>,
}

/// Says what is left out, also where the output of tests is kept back.
pub fn skipped(what: &str, missing: &str) {
    let _ = writeln!(std::io::stderr(), "SKIPPED: {what} ({missing} is not installed)");
}

/// A browser with a window of this size; none where the driver is missing.
pub fn browser(what: &str, width: u32, height: u32) -> Option<Browser> {
    let one = ONE.lock().unwrap_or_else(PoisonError::into_inner);
    let started = Command::new("chromedriver")
        .arg("--port=0")
        .stdout(Stdio::piped())
        .stderr(Stdio::null())
        .stdin(Stdio::null())
        .spawn();
    let Ok(mut driver) = started else {
        let ci = std::env::var("CI").is_ok_and(|ci| ci == "true");
        assert!(!ci, "{what}: chromedriver is not installed");
        skipped(what, "chromedriver");
        return None;
    };
    let mut lines = BufReader::new(driver.stdout.take().unwrap()).lines();
    let port = loop {
        let line = lines.next().expect("the driver says its port").unwrap();
        if let Some((_, port)) = line.split_once("started successfully on port ") {
            break port.trim_end_matches('.').parse().unwrap();
        }
    };
    // A pipe that nobody reads would stop the driver one day.
    std::thread::spawn(move || lines.for_each(drop));
    let profile = tempfile::tempdir().unwrap();
    let mut browser =
        Browser { driver, port, session: String::new(), _profile: profile, _one: one };
    let folder = browser._profile.path().display().to_string();
    let options = json!({ "capabilities": { "alwaysMatch": {
        "goog:loggingPrefs": { "browser": "ALL", "performance": "ALL" },
        "goog:chromeOptions": { "args": [
            "--headless=new", "--no-sandbox", "--disable-gpu", "--disable-dev-shm-usage",
            "--hide-scrollbars", "--no-first-run", "--force-device-scale-factor=1",
            format!("--user-data-dir={folder}"), format!("--window-size={width},{height}")
        ]}
    }}});
    let made = browser.call("POST", "/session", &options);
    browser.session = made["sessionId"].as_str().unwrap_or_else(|| panic!("{made}")).to_owned();
    // The window has a frame; the page is to have this size.
    browser.resize(width, height);
    Some(browser)
}

impl Drop for Browser {
    fn drop(&mut self) {
        if !self.session.is_empty() {
            let _ = self.http("DELETE", &format!("/session/{}", self.session), "");
        }
        let _ = self.driver.kill();
        let _ = self.driver.wait();
    }
}

impl Browser {
    /// The body of an answer by HTTP.
    fn http(&self, method: &str, path: &str, body: &str) -> std::io::Result<String> {
        let mut stream = TcpStream::connect(("127.0.0.1", self.port))?;
        write!(
            stream,
            "{method} {path} HTTP/1.1\r\nHost: 127.0.0.1:{}\r\nContent-Type: application/json\r\nContent-Length: {}\r\nConnection: close\r\n\r\n{body}",
            self.port,
            body.len()
        )?;
        let mut stream = BufReader::new(stream);
        let mut length = 0;
        loop {
            let mut line = String::new();
            stream.read_line(&mut line)?;
            if let Some((name, value)) = line.split_once(':')
                && name.eq_ignore_ascii_case("content-length")
            {
                length = value.trim().parse().unwrap_or(0);
            }
            if line.trim().is_empty() {
                break;
            }
        }
        let mut body = vec![0; length];
        stream.read_exact(&mut body)?;
        Ok(String::from_utf8_lossy(&body).into_owned())
    }

    /// The value of an answer, which may be an error.
    fn call(&self, method: &str, path: &str, body: &Value) -> Value {
        let body = if body.is_null() { String::new() } else { body.to_string() };
        let text = self.http(method, path, &body).unwrap();
        let mut answer: Value = serde_json::from_str(&text).unwrap_or_else(|_| panic!("{text}"));
        answer["value"].take()
    }

    fn ask(&self, method: &str, path: &str, body: &Value) -> Value {
        let value = self.call(method, &format!("/session/{}{path}", self.session), body);
        assert!(value["error"].is_null(), "{path}: {value:#}");
        value
    }

    /// A command of the browser's own protocol.
    pub fn command(&self, name: &str, params: Value) -> Value {
        self.ask("POST", "/goog/cdp/execute", &json!({ "cmd": name, "params": params }))
    }

    /// Opens a file.
    pub fn open(&self, file: &Path) {
        let url = format!("file://{}", file.display());
        self.ask("POST", "/url", &json!({ "url": url }));
    }

    pub fn reload(&self) {
        self.ask("POST", "/refresh", &json!({}));
    }

    /// The window that is looked at.
    pub fn window(&self) -> String {
        self.ask("GET", "/window", &Value::Null).as_str().unwrap().to_owned()
    }

    /// Opens one more window beside, which is not yet looked at.
    pub fn new_window(&self) -> String {
        let made = self.ask("POST", "/window/new", &json!({ "type": "tab" }));
        made["handle"].as_str().unwrap().to_owned()
    }

    /// Looks at a window.
    pub fn to_window(&self, handle: &str) {
        self.ask("POST", "/window", &json!({ "handle": handle }));
    }

    /// What a script of the page's own world returns.
    pub fn run(&self, script: &str, args: Value) -> Value {
        self.ask("POST", "/execute/sync", &json!({ "script": script, "args": args }))
    }

    /// What an expression is.
    pub fn get(&self, expression: &str) -> Value {
        self.run(&format!("return {expression};"), json!([]))
    }

    /// The text of an element that is seen.
    pub fn text(&self, id: &str) -> String {
        let text = self.run("return document.getElementById(arguments[0]).innerText;", json!([id]));
        text.as_str().unwrap().to_owned()
    }

    pub fn is_seen(&self, id: &str) -> bool {
        let script = "const e = document.getElementById(arguments[0]); return e !== null && e.offsetParent !== null;";
        self.run(script, json!([id])) == true
    }

    fn element(&self, id: &str) -> String {
        let using = json!({ "using": "css selector", "value": format!("#{id}") });
        let element = self.ask("POST", "/element", &using);
        element[ELEMENT].as_str().unwrap().to_owned()
    }

    /// A click of the mouse.
    pub fn click(&self, id: &str) {
        let element = self.element(id);
        self.ask("POST", &format!("/element/{element}/click"), &json!({}));
    }

    /// Waits until an expression is true. It is given up after two minutes: the page hangs.
    pub fn until(&self, expression: &str) {
        for _ in 0..2400 {
            if self.get(&format!("Boolean({expression})")) == true {
                return;
            }
            std::thread::sleep(std::time::Duration::from_millis(50));
        }
        panic!("never: {expression}\n{}", self.get("document.body.innerText"));
    }

    /// A value chosen or set in a field, as a tap on it does.
    pub fn choose(&self, id: &str, value: &str) {
        let script = "const e = document.getElementById(arguments[0]); e.value = arguments[1];
            e.dispatchEvent(new Event('input', { bubbles: true })); e.dispatchEvent(new Event('change', { bubbles: true }));";
        self.run(script, json!([id, value]));
    }

    /// Text in a field in the place of what is there.
    pub fn retype(&self, id: &str, text: &str) {
        let element = self.element(id);
        self.ask("POST", &format!("/element/{element}/clear"), &json!({}));
        self.type_into(id, text);
    }

    /// Whatever is shown in a frame, or in the page itself again.
    pub fn to_frame(&self, id: Option<&str>) {
        let frame = match id {
            Some(id) => json!({ ELEMENT: self.element(id) }),
            None => Value::Null,
        };
        self.ask("POST", "/frame", &json!({ "id": frame }));
    }

    /// The mouse held on a button.
    pub fn hold(&self, id: &str, milliseconds: u32) {
        let element = self.element(id);
        let origin = json!({ ELEMENT: element });
        self.ask(
            "POST",
            "/actions",
            &json!({ "actions": [{
                "type": "pointer", "id": "mouse", "parameters": { "pointerType": "mouse" },
                "actions": [
                    { "type": "pointerMove", "duration": 0, "x": 0, "y": 0, "origin": origin },
                    { "type": "pointerDown", "button": 0 },
                    { "type": "pause", "duration": milliseconds },
                    { "type": "pointerUp", "button": 0 }
                ]
            }]}),
        );
    }

    /// Text typed into a field.
    pub fn type_into(&self, id: &str, text: &str) {
        let element = self.element(id);
        self.ask("POST", &format!("/element/{element}/value"), &json!({ "text": text }));
    }

    /// A key of the keyboard, held so long, wherever the focus is.
    pub fn key(&self, key: &str, milliseconds: u32) {
        self.ask(
            "POST",
            "/actions",
            &json!({ "actions": [{
                "type": "key", "id": "keyboard",
                "actions": [
                    { "type": "keyDown", "value": key },
                    { "type": "pause", "duration": milliseconds },
                    { "type": "keyUp", "value": key }
                ]
            }]}),
        );
    }

    /// What a script of the page's own world says by its last argument, a function.
    pub fn wait(&self, script: &str, args: Value) -> Value {
        self.ask("POST", "/execute/async", &json!({ "script": script, "args": args }))
    }

    /// Whether scripts of pages run; those of a test do.
    pub fn scripts(&self, run: bool) {
        self.command("Emulation.setScriptExecutionDisabled", json!({ "value": !run }));
    }

    /// How the page is seen: `screen` or `print`, and by whom: `light` or `dark`.
    pub fn media(&self, media: &str, scheme: &str) {
        let features = json!([{ "name": "prefers-color-scheme", "value": scheme }]);
        self.command("Emulation.setEmulatedMedia", json!({ "media": media, "features": features }));
    }

    /// The size of the page on the screen.
    pub fn resize(&self, width: u32, height: u32) {
        self.command(
            "Emulation.setDeviceMetricsOverride",
            json!({ "width": width, "height": height, "deviceScaleFactor": 1, "mobile": false }),
        );
    }

    /// A finger that is put on an element, this share of its width from the left.
    pub fn touch(&self, id: &str, share: f64) {
        let script = "const e = document.getElementById(arguments[0]); e.scrollIntoView({ block: 'center' });
            const r = e.getBoundingClientRect(); return [r.left + arguments[1] * r.width, r.top + r.height / 2];";
        let at = self.run(script, json!([id, share]));
        let points = json!([{ "x": at[0], "y": at[1] }]);
        for (kind, points) in [("touchStart", points), ("touchEnd", json!([]))] {
            self.command(
                "Input.dispatchTouchEvent",
                json!({ "type": kind, "touchPoints": points }),
            );
        }
    }

    /// The page printed on paper of this size in centimetres, as PDF.
    pub fn print(&self, width: f64, height: f64) -> Vec<u8> {
        let page = json!({ "page": { "width": width, "height": height } });
        of_base64(self.ask("POST", "/print", &page).as_str().unwrap())
    }

    /// What is seen, as PNG.
    pub fn screenshot(&self) -> Vec<u8> {
        let shot = self.ask("GET", "/screenshot", &Value::Null);
        of_base64(shot.as_str().unwrap())
    }

    /// What the console has of errors and warnings.
    pub fn complaints(&self) -> Vec<String> {
        let log = self.ask("POST", "/se/log", &json!({ "type": "browser" }));
        let worse = |entry: &&Value| entry["level"] != "INFO" && entry["level"] != "DEBUG";
        log.as_array().unwrap().iter().filter(worse).map(|e| e["message"].to_string()).collect()
    }

    /// The addresses of all requests of pages from files so far.
    pub fn requests(&self) -> Vec<String> {
        let log = self.ask("POST", "/se/log", &json!({ "type": "performance" }));
        let messages = log.as_array().unwrap().iter().map(|entry| {
            let message = entry["message"].as_str().unwrap();
            serde_json::from_str::<Value>(message).unwrap()["message"].take()
        });
        // A browser that begins shows a page of its own.
        let own = |m: &Value| {
            m["params"]["documentURL"].as_str().is_some_and(|url| url.starts_with("file://"))
        };
        let sent = messages.filter(|m| m["method"] == "Network.requestWillBeSent" && own(m));
        sent.map(|m| m["params"]["request"]["url"].as_str().unwrap().to_owned()).collect()
    }
}

/// Bytes of base 64.
pub fn of_base64(text: &str) -> Vec<u8> {
    let six = |c: u8| match c {
        b'A'..=b'Z' => c - b'A',
        b'a'..=b'z' => c - b'a' + 26,
        b'0'..=b'9' => c - b'0' + 52,
        b'+' => 62,
        _ => 63,
    };
    let letters: Vec<u8> = text.bytes().filter(|c| !b"=\r\n".contains(c)).collect();
    let mut bytes = Vec::with_capacity(letters.len() * 3 / 4);
    for four in letters.chunks(4) {
        let bits = four.iter().fold(0_u32, |bits, c| bits << 6 | u32::from(six(*c)));
        let bits = bits << (6 * (4 - four.len()));
        bytes.extend(&bits.to_be_bytes()[1..four.len()]);
    }
    bytes
}

/// Width, height and the pixels of a picture, three or four bytes each; and how many.
pub fn pixels(png: &[u8]) -> (u32, u32, usize, Vec<u8>) {
    let mut reader = png::Decoder::new(std::io::Cursor::new(png)).read_info().unwrap();
    let mut bytes = vec![0; reader.output_buffer_size().unwrap()];
    let info = reader.next_frame(&mut bytes).unwrap();
    bytes.truncate(info.buffer_size());
    (info.width, info.height, info.color_type.samples(), bytes)
}
