//! The job card as one HTML file for paper: black on white, big type, a box for each bolt, no colour, no
//! script, nothing from elsewhere.

use qrcode::{Color, QrCode};

use super::card::{CardReport, CardRow};
use crate::sequence::svg::escaped;

/// A4 and Letter alike: nothing is wider than the page less its margins, and no line is parted.
const LOOK: &str = "
@page { margin: 8mm 10mm; }
* { box-sizing: border-box; }
body { font: 11pt Arial, Helvetica, sans-serif; color: #000; background: #fff; margin: 0 auto; max-width: 190mm; }
header { display: flex; gap: 6mm; align-items: flex-start; }
header div { flex: 1; }
h1 { font-size: 24pt; margin: 0; overflow-wrap: anywhere; }
p { margin: 1mm 0; }
ul { margin: 1mm 0; padding-left: 5mm; font-size: 10pt; }
.fill { display: inline-block; border-bottom: 0.3mm solid #000; min-width: 42mm; height: 6mm; }
.qr { width: 25mm; height: 25mm; flex: none; }
table { width: 100%; border-collapse: collapse; border-top: 1mm solid #000; }
tr { break-inside: avoid; }
th { text-align: left; font-size: 10pt; }
td { border-top: 0.3mm solid #000; padding: 0.6mm 2mm 0.6mm 0; vertical-align: middle; }
tr.first td { border-top: 0.9mm solid #000; }
.place { display: block; font-size: 9.5pt; text-transform: uppercase; }
.joint { font-weight: bold; font-size: 11pt; white-space: nowrap; }
.what { font-size: 12pt; white-space: nowrap; }
.small { font-size: 10pt; white-space: nowrap; }
.boxes { display: flex; flex-wrap: wrap; gap: 1mm; width: 87mm; }
.box { border: 0.5mm solid #000; width: 13.6mm; height: 7.6mm; font-size: 8pt; padding: 0 1mm; }
.warn { font-weight: bold; }
.pictures { display: flex; flex-wrap: wrap; gap: 4mm; margin-top: 2mm; }
figure { margin: 0; width: 50mm; break-inside: avoid; }
figure svg { display: block; width: 100%; height: auto; max-height: 40mm; }
figcaption { font-size: 10pt; overflow-wrap: anywhere; }
section { break-inside: avoid; }
.sign { border-top: 1mm solid #000; margin-top: 2mm; padding-top: 2mm; font-size: 13pt; }
.tick { display: inline-block; width: 5mm; height: 5mm; border: 0.5mm solid #000; vertical-align: middle; }
";

pub fn card_html(card: &CardReport) -> String {
    let title = escaped(&card.bike);
    let mut html = format!(
        "<!DOCTYPE html>\n<html lang=\"en\">\n<head>\n<meta charset=\"utf-8\">\n<meta name=\"viewport\" \
         content=\"width=device-width\">\n<title>Job card {title}</title>\n<style>{LOOK}</style>\n</head>\n<body>\n"
    );
    html += &head(card);
    html += "<table>\n<thead><tr><th>Joint</th><th>Specified</th><th>A box for each bolt</th></tr></thead>\n<tbody>\n";
    let mut place = "";
    for row in &card.rows {
        html += &line(row, row.place != place);
        place = &row.place;
    }
    html += "</tbody>\n</table>\n<section>\n<div class=\"pictures\">\n";
    for (joints, svg) in &card.pictures {
        html += &format!("<figure>{svg}<figcaption>{}</figcaption></figure>\n", escaped(joints));
    }
    html += "</div>\n<p class=\"sign\"><span class=\"tick\"></span> ride &nbsp; <span class=\"tick\"></span> ride with \
             conditions &nbsp; <span class=\"tick\"></span> do not ride &nbsp; Signed <span class=\"fill\"></span></p>\n\
             </section>\n</body>\n</html>\n";
    html
}

/// Name, blanks to fill in, and the cautions, where the hand is about to act.
fn head(card: &CardReport) -> String {
    let cautions: Vec<String> =
        card.cautions.iter().map(|caution| format!("<li>{}</li>", escaped(caution))).collect();
    let cautions = cautions.join("\n");
    let about = [card.kind.as_str(), &card.about].into_iter().filter(|text| !text.is_empty());
    let about = about.collect::<Vec<_>>().join(", ");
    let fill = "<span class=\"fill\"></span>";
    let doubt = card
        .wrench_doubt
        .as_ref()
        .map(|doubt| format!(" (in doubt: {})", escaped(doubt)))
        .unwrap_or_default();
    let named = |name| format!("<b>{}</b>{doubt}", escaped(name));
    let wrench = card.wrench.as_deref().map_or_else(|| fill.to_owned(), named);
    let oldest = card.oldest_text.as_ref().map(|oldest| format!(", oldest evidence {}", escaped(oldest)));
    let oldest = oldest.unwrap_or_default();
    format!(
        "<header><div><h1>{}</h1>\n<p>{}</p>\n<p>Made {}, verdict then: {}{oldest}. <b>*</b> decides safety.</p>\n\
         <p>Mechanic {fill} Date, time {fill}</p>\n<p>Wrench {wrench} Reason {fill}</p></div>{}</header>\n<ul>\n{cautions}</ul>\n",
        escaped(&card.bike),
        escaped(&about),
        escaped(&card.made_at),
        card.verdict,
        qr_svg(&card.bike)
    )
}

/// One joint; the first of a place names it.
fn line(row: &CardRow, first: bool) -> String {
    let star = if row.critical { "*&nbsp;" } else { "" };
    let mut what = format!("<span class=\"what\">{}</span>", escaped(&row.specified));
    if let Some(also) = &row.also {
        what += &format!(" <span class=\"small\">{}</span>", escaped(also));
    }
    let order = if row.order.len() > 2 { format!("order {}", row.order_text()) } else { String::new() };
    let setting = row.setting.as_ref().map(|set| format!("<b>set {}</b> ", escaped(set))).unwrap_or_default();
    if !(setting.is_empty() && order.is_empty()) {
        what += &format!("<br>{setting}<span class=\"small\">{order}</span>");
    }
    if let Some(warning) = &row.warning {
        let class = if row.long_warning { "warn" } else { "warn small" };
        what += &format!("<br><span class=\"{class}\">{}</span>", escaped(warning));
    }
    let (class, place) = if first {
        (" class=\"first\"", format!("<span class=\"place\">{}</span>", escaped(&row.place)))
    } else {
        ("", String::new())
    };
    let boxes: Vec<String> = (1..=row.bolts)
        .map(|bolt| {
            let number = if row.bolts > 1 { bolt.to_string() } else { String::new() };
            format!("<span class=\"box\">{number}</span>")
        })
        .collect();
    let boxes = boxes.concat();
    format!(
        "<tr{class}><td class=\"joint\">{place}{star}{}</td><td>{what}</td><td><div class=\"boxes\">{boxes}</div></td></tr>\n",
        escaped(&row.joint)
    )
}

/// The bicycle's name as a QR code; left out where it does not fit into one.
fn qr_svg(name: &str) -> String {
    let Ok(code) = QrCode::new(name.as_bytes()) else { return String::new() };
    // Four modules of white around it, as ISO/IEC 18004 asks for.
    let (width, quiet) = (code.width(), 4);
    let side = width + 2 * quiet;
    let mut path = String::new();
    for (index, colour) in code.to_colors().into_iter().enumerate() {
        if colour == Color::Dark {
            path += &format!("M{} {}h1v1h-1z", index % width + quiet, index / width + quiet);
        }
    }
    format!(
        "<svg class=\"qr\" viewBox=\"0 0 {side} {side}\" shape-rendering=\"crispEdges\" role=\"img\" \
         aria-label=\"QR code with the name of the bicycle\"><path d=\"{path}\"/></svg>"
    )
}
