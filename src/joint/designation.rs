//! Thread designations as people write them: `M5`, `M5x0.8`, `M 8 × 1`, `M8*1,25`, `9/16-20`,
//! `1.37x24`, `1-1/8" x 26 TPI`, `36mm-24`.

/// What a designation says about a thread, before any table is asked.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) enum Written {
    /// `M` with a diameter and perhaps a pitch, in mm.
    Metric { major_mm: f64, pitch_mm: Option<f64> },
    /// A diameter with threads per inch; the diameter is in inches unless `mm` stands behind it.
    Inch { major: f64, in_mm: bool, threads_per_inch: f64 },
}

/// Reads a designation; `None` when it has neither form.
pub(super) fn read(text: &str) -> Option<Written> {
    let plain: String = text
        .to_lowercase()
        .chars()
        .filter(|c| !c.is_whitespace())
        .map(|c| match c {
            '×' | '*' => 'x',
            ',' => '.',
            '–' | '−' | '‑' => '-',
            other => other,
        })
        .collect();
    let plain = without_suffix(&plain);
    match plain.strip_prefix('m') {
        Some(rest) => metric(rest),
        None => inch(plain),
    }
}

/// A bare diameter such as `5mm` or `5`: no designation, but it says which threads are near.
pub(super) fn size_alone(text: &str) -> Option<Written> {
    let plain = text.trim().to_lowercase().replace(',', ".");
    metric(plain.strip_suffix("mm").unwrap_or(&plain).trim())
}

/// Tolerance class and hand do not change the size.
fn without_suffix(text: &str) -> &str {
    let endings = ["-6g", "-6h", "-lh", "-rh", "lh", "rh", "left", "right"];
    endings.iter().find_map(|ending| text.strip_suffix(ending)).unwrap_or(text)
}

fn metric(rest: &str) -> Option<Written> {
    let (major, pitch) = match rest.split_once('x') {
        Some((major, pitch)) => (major, Some(decimal(pitch)?)),
        None => (rest, None),
    };
    Some(Written::Metric { major_mm: decimal(major)?, pitch_mm: pitch })
}

fn inch(text: &str) -> Option<Written> {
    let (size, count) = text.rsplit_once('x').or_else(|| text.rsplit_once('-'))?;
    let threads_per_inch = decimal(count.strip_suffix("tpi").unwrap_or(count))?;
    let size = size.trim_end_matches('-');
    if let Some(mm) = size.strip_suffix("mm") {
        return Some(Written::Inch { major: decimal(mm)?, in_mm: true, threads_per_inch });
    }
    let bare = size.trim_end_matches(['"', '″']);
    let bare = bare.strip_suffix("inch").or_else(|| bare.strip_suffix("in")).unwrap_or(bare);
    Some(Written::Inch { major: mixed(bare)?, in_mm: false, threads_per_inch })
}

/// A decimal, a fraction such as `9/16`, or a mixed number such as `1-1/8`.
fn mixed(text: &str) -> Option<f64> {
    let (whole, fraction) = match text.split_once('-') {
        Some((whole, fraction)) => (decimal(whole)?, fraction),
        None => (0.0, text),
    };
    let value = match fraction.split_once('/') {
        Some((over, under)) => decimal(over)? / decimal(under)?,
        None => decimal(fraction)?,
    };
    Some(whole + value)
}

/// Digits with at most one point; no sign, no exponent, above zero.
fn decimal(text: &str) -> Option<f64> {
    let plain = !text.is_empty() && text.chars().all(|c| c.is_ascii_digit() || c == '.');
    text.parse().ok().filter(|&value: &f64| plain && value > 0.0)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn metric_forms() {
        let m8 = |pitch_mm| Some(Written::Metric { major_mm: 8.0, pitch_mm });
        assert_eq!(read("M8"), m8(None));
        for text in ["M8x1.25", "m8 X 1,25", "M8×1.25", "M8*1.25", "M 8 x 1.25", "M8x1.25-6g", "M8x1.25 LH"]
        {
            assert_eq!(read(text), m8(Some(1.25)), "{text}");
        }
    }

    #[test]
    fn inch_forms() {
        let inch = |major, threads_per_inch| Some(Written::Inch { major, in_mm: false, threads_per_inch });
        for text in ["9/16-20", "9/16 x 20 TPI", "9/16\" × 20", "9/16in-20", "9/16-20 LH"] {
            assert_eq!(read(text), inch(0.5625, 20.0), "{text}");
        }
        assert_eq!(read("1.37x24"), inch(1.37, 24.0));
        for text in ["1-1/8-26", "1-1/8\" x 26", "1.125x26"] {
            assert_eq!(read(text), inch(1.125, 26.0), "{text}");
        }
        assert_eq!(read("36mm-24"), Some(Written::Inch { major: 36.0, in_mm: true, threads_per_inch: 24.0 }));
    }

    #[test]
    fn other_text_is_no_designation() {
        for text in ["", "M", "M-5", "Mx", "M5x", "M0", "M5x-1", "five", "9/0-20x", "1e3x24", "x"] {
            assert_eq!(read(text), None, "{text}");
        }
    }
}
