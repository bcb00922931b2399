//! A browser on a served archive: started for one test, ended with it.

use crate::kept::{Archive, Kept};
use crate::node::node_tools;
use crate::plain_http;
use fantoccini::actions::{InputSource, KeyAction, KeyActions};
use fantoccini::key::Key;
use fantoccini::wd::PrintConfiguration;
use fantoccini::{Client, ClientBuilder, Locator};
use hyper_util::client::legacy::connect::HttpConnector;
use serde_json::{Value, json};
use std::cell::RefCell;
use std::net::TcpListener;
use std::path::Path;
use std::time::{Duration, Instant};

/// Whether the browser runs scripts.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Scripting {
    On,
    Off,
}

/// Keys as WebDriver names them (its table of "normalised key values").
pub(crate) const ENTER: &str = "\u{E007}";
pub(crate) const ESCAPE: &str = "\u{E00C}";

/// How a page is looked at.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Look {
    DeskLight,
    DeskDark,
    PhoneLight,
    PhoneDark,
}

/// A driver and a browser.
pub(crate) struct Bench {
    pub(crate) client: Client,
    session: String,
    scripting: Scripting,
    pub(crate) address: String,
    driver_port: u16,
    /// Pages that are meant to be refused: the browser's console names them.
    refused: RefCell<Vec<String>>,
    _driver: Kept,
}

impl Bench {
    /// Starts both.
    pub(crate) async fn start(archive: &Archive, scripting: Scripting) -> Self {
        let folder = tempfile::tempdir().unwrap().keep();
        let driver_port = free_port();
        let port = format!("--port={driver_port}");
        let driver = Kept::start(&folder, &["/usr/bin/chromedriver", &port]);
        let client = connect(driver_port, scripting, &folder).await;
        let session = client.session_id().await.unwrap().unwrap();
        Self {
            client,
            session,
            scripting,
            address: archive.address.clone(),
            driver_port,
            refused: RefCell::default(),
            _driver: driver,
        }
    }

    /// Opens a page and waits until it is there.
    pub(crate) async fn open(&self, path: &str) {
        self.client
            .goto(&format!("{}{path}", self.address))
            .await
            .unwrap();
    }

    /// Looks at the page in another way from here on.
    pub(crate) async fn look(&self, look: Look) {
        let (width, height) = match look {
            Look::DeskLight | Look::DeskDark => (1440, 900),
            Look::PhoneLight | Look::PhoneDark => (390, 844),
        };
        let scheme = match look {
            Look::DeskLight | Look::PhoneLight => "light",
            Look::DeskDark | Look::PhoneDark => "dark",
        };
        let screen =
            json!({"width": width, "height": height, "deviceScaleFactor": 1, "mobile": width == 390});
        self.driver_command("Emulation.setDeviceMetricsOverride", screen)
            .await;
        let media = json!({"features": [
            {"name": "prefers-color-scheme", "value": scheme},
            {"name": "prefers-reduced-motion", "value": "reduce"},
        ]});
        self.driver_command("Emulation.setEmulatedMedia", media).await;
    }

    /// Brings the accessibility engine into every page that is opened from here on.
    pub(crate) async fn bring(&self, engine: &str) {
        self.driver_command("Page.addScriptToEvaluateOnNewDocument", json!({"source": engine}))
            .await;
    }

    /// What is wrong with the page when it is looked at like this; the accessibility engine must be in it already.
    pub(crate) async fn audit(&self, look: Look) -> Vec<String> {
        self.look(look).await;
        let script = include_str!("audit.js");
        let said = self.client.execute_async(script, Vec::new()).await.unwrap();
        serde_json::from_value(said).unwrap()
    }

    /// Fails where the page as it stands now, after a form was sent, keeps anybody out. The engine that looks is itself
    /// a script that waits, so that it runs only where scripts do.
    pub(crate) async fn sound(&self) {
        let Some(node) = node_tools() else { return };
        if self.scripting == Scripting::Off {
            return;
        }
        self.script(&node.axe()).await;
        for look in [Look::DeskLight, Look::PhoneDark] {
            let found = self.audit(look).await;
            assert!(found.is_empty(), "{look:?}: {found:#?}");
        }
        self.look(Look::DeskLight).await;
    }

    /// What an element says, once it is there.
    pub(crate) async fn text_of(&self, place: &str) -> String {
        let waiting = self.client.wait();
        match waiting.for_element(Locator::Css(place)).await {
            Ok(element) => element.text().await.unwrap(),
            Err(error) => {
                let page = self
                    .script("return location.href + '\\n' + document.body.innerText")
                    .await;
                panic!("no {place} ({error}) on {}", page.as_str().unwrap())
            }
        }
    }

    /// What an element says also where it is closed, in one line.
    pub(crate) async fn words_of(&self, place: &str) -> String {
        let waiting = self.client.wait();
        waiting.for_element(Locator::Css(place)).await.unwrap();
        let script =
            format!("return document.querySelector(\"{place}\").textContent.replace(/\\s+/g, ' ').trim()");
        self.script(&script).await.as_str().unwrap().to_string()
    }

    /// Waits until a script says yes.
    pub(crate) async fn until(&self, script: &str) {
        let started = Instant::now();
        while self.script(script).await != json!(true) {
            assert!(
                started.elapsed() < Duration::from_secs(60),
                "it never says yes: {script}"
            );
            tokio::time::sleep(Duration::from_millis(50)).await;
        }
    }

    /// Presses Tab until the focus is on such an element.
    pub(crate) async fn tab_to(&self, place: &str) {
        let reached =
            "return document.activeElement !== null && document.activeElement.matches(arguments[0])";
        for _ in 0..400 {
            self.press(&char::from(Key::Tab).to_string()).await;
            let is_there = self.client.execute(reached, vec![json!(place)]).await.unwrap();
            if is_there == json!(true) {
                return;
            }
        }
        panic!("Tab does not lead to {place}");
    }

    /// Presses keys on whatever has the focus.
    pub(crate) async fn press(&self, keys: &str) {
        let mut typed = KeyActions::new("keyboard".to_string());
        for key in keys.chars() {
            typed = typed
                .then(KeyAction::Down { value: key })
                .then(KeyAction::Up { value: key });
        }
        self.client.perform_actions(typed).await.unwrap();
    }

    /// Says that an address is meant to be refused.
    pub(crate) fn expect_refusal(&self, path: &str) {
        self.refused.borrow_mut().push(format!("{}{path}", self.address));
    }

    /// The page on paper, as the bytes of a PDF.
    pub(crate) async fn paper(&self) -> Vec<u8> {
        let printed = self.client.print(PrintConfiguration::default());
        printed.await.unwrap()
    }

    /// Shows the page as it is on this medium; an empty name is the screen.
    pub(crate) async fn medium(&self, name: &str) {
        self.driver_command("Emulation.setEmulatedMedia", json!({"media": name}))
            .await;
    }

    /// What a script of the test itself returns.
    pub(crate) async fn script(&self, script: &str) -> Value {
        self.client.execute(script, Vec::new()).await.unwrap()
    }

    /// Pastes rows into the form of an import and asks what they would do.
    pub(crate) async fn paste(&self, rows: &str) {
        let page = &self.client;
        let text = page.find(Locator::Css("textarea[name='text']")).await.unwrap();
        text.clear().await.unwrap();
        text.send_keys(rows).await.unwrap();
        let ask = page.find(Locator::Css("[data-import-form] button"));
        ask.await.unwrap().click().await.unwrap();
    }

    /// A command of the browser's own protocol, over the driver.
    async fn driver_command(&self, name: &str, parameters: Value) -> Value {
        let body = json!({"cmd": name, "params": parameters});
        self.post("goog/cdp/execute", &body).await
    }

    /// Sends a command of the driver that the client does not know.
    async fn post(&self, command: &str, body: &Value) -> Value {
        let (port, body) = (self.driver_port, body.to_string());
        let path = format!("/session/{}/{command}", self.session);
        let answer = tokio::task::spawn_blocking(move || plain_http::post(port, &path, &body));
        let answer: Value = serde_json::from_str(&answer.await.unwrap()).unwrap();
        assert!(answer["value"]["error"].is_null(), "{answer}");
        answer["value"].clone()
    }

    fn is_expected(&self, message: &str) -> bool {
        let refused = self.refused.borrow();
        message.contains("status of 4")
            && refused
                .iter()
                .any(|address| message.starts_with(&format!("{address} ")))
    }

    /// The walk is over: the browser has shown no error and asked nobody else.
    pub(crate) async fn end(self) {
        let found = self.found().await;
        assert!(found.is_empty(), "{found:#?}");
    }

    /// What the browser's console says that it should not, and whom a page asked besides the program.
    pub(crate) async fn found(&self) -> Vec<String> {
        let console = self.post("se/log", &json!({"type": "browser"})).await;
        let mut found: Vec<String> = console
            .as_array()
            .unwrap()
            .iter()
            .filter(|entry| entry["level"] == "SEVERE" || entry["level"] == "WARNING")
            .map(|entry| entry["message"].as_str().unwrap())
            .filter(|message| !self.is_expected(message))
            .map(|message| format!("the console says: {message}"))
            .collect();
        let asked = self.asked().await;
        assert!(
            !asked.is_empty(),
            "the log of requests is empty: it would notice nothing"
        );
        let is_own =
            |url: &&String| url.starts_with(&format!("{}/", self.address)) || url.starts_with("data:");
        let strangers = asked.iter().filter(|url| !is_own(url));
        found.extend(strangers.map(|url| format!("a page asked {url}")));
        found
    }

    /// Every address that the pages asked for.
    async fn asked(&self) -> Vec<String> {
        let traffic = self.post("se/log", &json!({"type": "performance"})).await;
        let mut asked = Vec::new();
        for entry in traffic.as_array().unwrap() {
            let message: Value = serde_json::from_str(entry["message"].as_str().unwrap()).unwrap();
            let message = &message["message"];
            if message["method"] != "Network.requestWillBeSent" {
                continue;
            }
            // The browser's own first tab, before any page of the program is opened.
            let document = message["params"]["documentURL"].as_str().unwrap();
            if document.starts_with("chrome:") || document.starts_with("chrome-untrusted:") {
                continue;
            }
            asked.push(message["params"]["request"]["url"].as_str().unwrap().to_string());
        }
        asked
    }
}

impl Drop for Bench {
    /// A failed walk leaves its browser to nobody: the driver ends it.
    fn drop(&mut self) {
        let path = format!("/session/{}", self.session);
        let _ = std::panic::catch_unwind(|| plain_http::delete(self.driver_port, &path));
    }
}

fn free_port() -> u16 {
    TcpListener::bind("127.0.0.1:0")
        .unwrap()
        .local_addr()
        .unwrap()
        .port()
}

async fn connect(port: u16, scripting: Scripting, folder: &Path) -> Client {
    let profile = folder.join("profile");
    let arguments = vec![
        "--headless=new".to_string(),
        "--no-sandbox".to_string(),
        "--disable-gpu".to_string(),
        // A page that is still scrolling smoothly cannot be clicked.
        "--force-prefers-reduced-motion".to_string(),
        "--disable-dev-shm-usage".to_string(),
        "--window-size=1440,900".to_string(),
        format!("--user-data-dir={}", profile.display()),
    ];
    // The driver needs scripts of its own to find elements: a site's setting stops those of the page alone.
    let preferences = match scripting {
        Scripting::On => json!({}),
        Scripting::Off => json!({"profile.managed_default_content_settings.javascript": 2}),
    };
    let wanted = json!({
        // A page may be computed on a machine that has other work.
        "timeouts": {"script": 120_000, "pageLoad": 120_000},
        "goog:chromeOptions": {"args": arguments, "binary": "/usr/bin/chromium", "prefs": preferences},
        "goog:loggingPrefs": {"browser": "ALL", "performance": "ALL"},
    });
    let wanted = wanted.as_object().unwrap().clone();
    let started = Instant::now();
    loop {
        let mut builder = ClientBuilder::new(HttpConnector::new());
        let answer = builder
            .capabilities(wanted.clone())
            .connect(&format!("http://127.0.0.1:{port}"))
            .await;
        match answer {
            Ok(client) => return client,
            Err(error) if started.elapsed() > Duration::from_secs(60) => panic!("no browser: {error}"),
            Err(_) => tokio::time::sleep(Duration::from_millis(200)).await,
        }
    }
}
