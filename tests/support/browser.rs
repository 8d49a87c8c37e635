//! A headless Chromium, spoken to through its debugging pipe: messages are JSON ended by a zero byte,
//! on the file descriptors 3 and 4, which a shell lays onto two named pipes.

use std::collections::VecDeque;
use std::fs::{File, OpenOptions};
use std::io::{BufRead, BufReader, Write};
use std::path::Path;
use std::process::{Child, Command, Stdio};

use serde_json::{Value, json};

/// The names under which distributions install it.
const NAMES: [&str; 3] = ["chromium", "chromium-browser", "google-chrome"];

/// The browser of this machine: the one that `BREAKCROP_BROWSER` names, else the first installed.
pub(crate) fn find() -> Option<String> {
    let named = std::env::var("BREAKCROP_BROWSER").ok().filter(|name| !name.is_empty());
    named.into_iter().chain(NAMES.map(str::to_owned)).find(|name| {
        Command::new(name)
            .arg("--version")
            .stdout(Stdio::null())
            .stderr(Stdio::null())
            .status()
            .is_ok_and(|status| status.success())
    })
}

/// A running browser with one page.
pub(crate) struct Browser {
    child: Child,
    to: File,
    from: BufReader<File>,
    session: String,
    next: u64,
    /// What the page reported on its own.
    pub(crate) events: VecDeque<Value>,
    _home: tempfile::TempDir,
}

impl Browser {
    /// Starts one, in a home of its own.
    pub(crate) fn start(name: &str) -> Self {
        let home = tempfile::tempdir().expect("a folder");
        let (into, out) = (home.path().join("in"), home.path().join("out"));
        let made = Command::new("mkfifo").args([&into, &out]).status().expect("mkfifo");
        assert!(made.success(), "mkfifo failed");
        let profile = home.path().join("profile");
        let child = Command::new("sh")
            .arg("-c")
            .arg("exec \"$0\" \"$@\" 3<\"$BREAKCROP_IN\" 4>\"$BREAKCROP_OUT\"")
            .arg(name)
            .args(["--headless=new", "--no-sandbox", "--disable-gpu", "--no-first-run"])
            .args(["--disable-background-networking", "--disable-extensions", "--disable-sync"])
            .arg("--disable-dev-shm-usage")
            .arg("--remote-debugging-pipe")
            .arg(format!("--user-data-dir={}", profile.display()))
            .env("BREAKCROP_IN", &into)
            .env("BREAKCROP_OUT", &out)
            .env("HOME", home.path())
            .stdin(Stdio::null())
            .stdout(Stdio::null())
            .stderr(Stdio::null())
            .spawn()
            .expect("the browser starts");
        // The shell opens the pipes in this order, each waiting for its other end.
        let to = OpenOptions::new().write(true).open(&into).expect("the pipe to the browser");
        let from = File::open(&out).expect("the pipe from the browser");
        let mut browser = Self {
            child,
            to,
            from: BufReader::new(from),
            session: String::new(),
            next: 0,
            events: VecDeque::new(),
            _home: home,
        };
        let target = browser.ask("Target.createTarget", &json!({ "url": "about:blank" }));
        let attached = browser.ask(
            "Target.attachToTarget",
            &json!({ "targetId": target["targetId"], "flatten": true }),
        );
        attached["sessionId"].as_str().expect("a session").clone_into(&mut browser.session);
        for domain in ["Page", "Network", "Log", "Runtime", "Accessibility"] {
            browser.ask(&format!("{domain}.enable"), &json!({}));
        }
        browser
    }

    /// Sends a command and waits for its answer; what else comes in is kept as events.
    pub(crate) fn ask(&mut self, method: &str, parameters: &Value) -> Value {
        self.next += 1;
        let id = self.next;
        let mut message = json!({ "id": id, "method": method, "params": parameters });
        if !self.session.is_empty() {
            message["sessionId"] = self.session.clone().into();
        }
        let mut text = message.to_string().into_bytes();
        text.push(0);
        self.to.write_all(&text).expect("the browser listens");
        loop {
            let message = self.read();
            if message["id"] == id {
                assert!(message["error"].is_null(), "{method}: {}", message["error"]);
                return message["result"].clone();
            }
            self.events.push_back(message);
        }
    }

    fn read(&mut self) -> Value {
        let mut text = Vec::new();
        let read = self.from.read_until(0, &mut text).expect("the browser answers");
        assert!(read > 0, "the browser has gone");
        text.pop();
        serde_json::from_slice(&text).expect("JSON")
    }

    /// Opens a file at a width of the window and waits until it is laid out.
    pub(crate) fn open(&mut self, file: &Path, width: u32) {
        self.events.clear();
        self.ask(
            "Emulation.setDeviceMetricsOverride",
            &json!({ "width": width, "height": 900, "deviceScaleFactor": 1, "mobile": false }),
        );
        let address = format!("file://{}", file.display());
        self.ask("Page.navigate", &json!({ "url": address }));
        while !self.events.iter().any(|event| event["method"] == "Page.loadEventFired") {
            let event = self.read();
            self.events.push_back(event);
        }
    }

    /// The value of an expression in the page.
    pub(crate) fn value(&mut self, expression: &str) -> Value {
        let answer = self.ask(
            "Runtime.evaluate",
            &json!({ "expression": expression, "returnByValue": true, "awaitPromise": true }),
        );
        assert!(answer["exceptionDetails"].is_null(), "{}", answer["exceptionDetails"]);
        answer["result"]["value"].clone()
    }

    /// A picture of the page from a height on, as PNG.
    pub(crate) fn picture(&mut self, width: u32, top: f64, height: f64) -> Vec<u8> {
        let clip = json!({ "x": 0, "y": top, "width": width, "height": height, "scale": 1 });
        let answer = self.ask(
            "Page.captureScreenshot",
            &json!({ "format": "png", "clip": clip, "captureBeyondViewport": true }),
        );
        from_base64(answer["data"].as_str().expect("a picture"))
    }

    /// The page as it would be printed, as PDF.
    pub(crate) fn printed(&mut self) -> Vec<u8> {
        let answer = self.ask(
            "Page.printToPDF",
            &json!({ "paperWidth": 8.27, "paperHeight": 11.69, "printBackground": true }),
        );
        from_base64(answer["data"].as_str().expect("a document"))
    }
}

impl Drop for Browser {
    fn drop(&mut self) {
        let _ = self.child.kill();
        let _ = self.child.wait();
    }
}

/// Bytes of a text in base 64.
fn from_base64(text: &str) -> Vec<u8> {
    let digit = |byte: u8| match byte {
        b'A'..=b'Z' => Some(u32::from(byte - b'A')),
        b'a'..=b'z' => Some(u32::from(byte - b'a') + 26),
        b'0'..=b'9' => Some(u32::from(byte - b'0') + 52),
        b'+' => Some(62),
        b'/' => Some(63),
        _ => None,
    };
    let digits: Vec<u32> = text.bytes().filter_map(digit).collect();
    let mut bytes = Vec::with_capacity(digits.len() * 3 / 4);
    for four in digits.chunks(4) {
        let word =
            four.iter().enumerate().fold(0_u32, |sum, (at, digit)| sum | digit << (18 - 6 * at));
        bytes.extend_from_slice(&word.to_be_bytes()[1..four.len()]);
    }
    bytes
}
