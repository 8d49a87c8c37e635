//! A reader of our own HTML, strict enough to be a check: tags must close in their order.

use std::collections::BTreeMap;

/// Elements that have no end tag.
const VOID: [&str; 5] = ["meta", "link", "br", "hr", "img"];

/// One start tag.
#[derive(Debug)]
pub(crate) struct Tag {
    pub(crate) name: String,
    pub(crate) attributes: BTreeMap<String, String>,
    /// Names of the elements it stands in, outermost first.
    pub(crate) within: Vec<String>,
    /// Its text, with that of the elements in it.
    pub(crate) text: String,
}

impl Tag {
    pub(crate) fn get(&self, name: &str) -> Option<&str> {
        self.attributes.get(name).map(String::as_str)
    }
}

fn unescaped(text: &str) -> String {
    text.replace("&lt;", "<").replace("&gt;", ">").replace("&quot;", "\"").replace("&amp;", "&")
}

/// The start tags of a document, in order. Panics where it is not well formed.
pub(crate) fn tags(html: &str) -> Vec<Tag> {
    let mut tags: Vec<Tag> = Vec::new();
    let mut open: Vec<usize> = Vec::new();
    let mut rest = html;
    while let Some(at) = rest.find('<') {
        let text = &rest[..at];
        assert!(!text.contains('>'), "a bare > in {:?}", text.chars().take(80).collect::<String>());
        for one in &open {
            tags[*one].text.push_str(&unescaped(text));
        }
        rest = &rest[at + 1..];
        let end = rest.find('>').expect("a tag ends");
        let inside = &rest[..end];
        rest = &rest[end + 1..];
        if inside.starts_with('!') {
            continue;
        }
        if let Some(name) = inside.strip_prefix('/') {
            let last = open.pop().unwrap_or_else(|| panic!("</{name}> closes nothing"));
            assert_eq!(tags[last].name, name, "tags cross");
            continue;
        }
        let (name, attributes) = inside.split_once(' ').unwrap_or((inside, ""));
        let within = open.iter().map(|one| tags[*one].name.clone()).collect();
        tags.push(Tag {
            name: name.to_owned(),
            attributes: attributes_of(attributes),
            within,
            text: String::new(),
        });
        if name == "style" {
            let close = rest.find("</style>").expect("the style ends");
            rest = &rest[close + 8..];
        } else if !VOID.contains(&name) {
            open.push(tags.len() - 1);
        }
    }
    assert!(
        open.is_empty(),
        "left open: {:?}",
        open.iter().map(|one| &tags[*one].name).collect::<Vec<_>>()
    );
    tags
}

fn attributes_of(text: &str) -> BTreeMap<String, String> {
    let mut found = BTreeMap::new();
    let mut rest = text.trim();
    while !rest.is_empty() {
        let end = rest.find(['=', ' ']).unwrap_or(rest.len());
        let name = rest[..end].to_owned();
        rest = &rest[end..];
        let value = if let Some(quoted) = rest.strip_prefix("=\"") {
            let close = quoted.find('"').expect("a value ends");
            rest = &quoted[close + 1..];
            unescaped(&quoted[..close])
        } else {
            String::new()
        };
        assert!(found.insert(name.clone(), value).is_none(), "{name} is given twice: {text}");
        rest = rest.trim_start();
    }
    found
}
