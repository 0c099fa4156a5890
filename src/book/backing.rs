//! On whose word a thin band stands: who, when, and of which hardware (`specs/rules.md`, "On whose word").

use super::Claim;

/// Who stands behind a band that is thin.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Backing {
    /// The issuers that count, in the order of the sheet.
    pub issuers: Vec<String>,
    /// The years of their documents, as far as they are known, in rising order.
    pub years: Vec<String>,
    /// The hardware they spoke of, in the order of the sheet.
    pub hardware: Vec<String>,
    /// True where none of it was read in a document of its issuer or off a part.
    pub secondhand: bool,
}

/// So many kinds of hardware are named in a sentence; the evidence names them all.
const NAMED: usize = 2;

impl Backing {
    /// Those whose claims count.
    pub(super) fn of(claims: &[impl AsRef<Claim>]) -> Backing {
        let counted: Vec<&Claim> = claims.iter().map(AsRef::as_ref).filter(|claim| claim.counted).collect();
        let each = |text: fn(&Claim) -> &str| {
            let mut texts: Vec<String> = Vec::new();
            for text in counted.iter().map(|claim| text(claim)).filter(|text| !text.is_empty()) {
                if !texts.iter().any(|known| known == text) {
                    texts.push(text.to_owned());
                }
            }
            texts
        };
        let mut years = each(|claim| &claim.speaker.year);
        years.sort();
        Backing {
            issuers: each(|claim| &claim.speaker.issuer),
            years,
            hardware: each(|claim| &claim.variant),
            secondhand: !counted.iter().any(|claim| claim.grade.is_first_kind()),
        }
    }

    /// Who, when and of what hardware, in one sentence without its full stop.
    #[must_use]
    pub fn text(&self) -> String {
        let alone = if self.issuers.len() == 1 { " alone" } else { "" };
        let years =
            if self.years.is_empty() { "year not stated".to_owned() } else { self.years.join(" and ") };
        let hand = if self.secondhand { ", at second hand" } else { "" };
        format!("on the word of {}{alone}, {years}{hand}{}", self.issuers.join(" and "), self.what())
    }

    fn what(&self) -> String {
        match self.hardware.split_at_checked(NAMED) {
            _ if self.hardware.is_empty() => String::new(),
            Some((named, more @ [_, ..])) => format!(", for: {} and {} more", named.join("; "), more.len()),
            _ => format!(", for: {}", self.hardware.join("; ")),
        }
    }
}
