//! The report's style sheet, one text, named by its digest in the page's security policy.

/// The style sheet.
pub const STYLE: &str = include_str!("style.css");

/// Its SHA-256 in the form a content security policy takes. A test holds it to the text.
pub const STYLE_DIGEST: &str = "sha256-koaLcPCX9SOi0wGnbW8+raWew6DrGMGLtnphG4G3u6E=";
