//! A report as a sheet. A column is the JSON key whose value stands in it, so that no value can stand under
//! another's name.

use serde_json::Value;

use super::digits::without_last_digits;

/// The elements of `list` in a report as rows, the header first; the report itself where `list` is empty. A list
/// may stand in the elements of another: `entries.wrenches`.
///
/// `columns` is the header as a file has it. A column is a key of the element or, where it has none such, of
/// what it stands in: `verdict`. A path leads to a key further inside, `limits.low_nm`, and gives the column its
/// last name or another one: `aim_nm=aim.setting_nm`.
pub fn sheet(report: &Value, list: &str, columns: &str) -> Vec<Vec<String>> {
    let (header, paths): (Vec<&str>, Vec<&str>) = columns.split(',').map(named).unzip();
    let mut rows: Vec<Vec<&Value>> = each(report).iter().map(|element| vec![element]).collect();
    for key in list.split('.').filter(|key| !key.is_empty()) {
        rows = rows.iter().flat_map(|holders| elements(holders, key)).collect();
    }
    let rows = rows.iter().map(|holders| {
        let cell = |path: &&str| {
            let key = path.split('.').next().unwrap_or(path);
            let holder = holders.iter().find(|holder| holder.get(key).is_some());
            holder.map_or_else(String::new, |holder| cell(holder, path))
        };
        paths.iter().map(cell).collect()
    });
    super::records(&header, rows)
}

/// The sheets of several reports as one: the header once.
pub(crate) fn one_sheet(sheets: impl Iterator<Item = Vec<Vec<String>>>) -> Vec<Vec<String>> {
    let mut rows: Vec<Vec<String>> = Vec::new();
    for sheet in sheets {
        let header = usize::from(!rows.is_empty());
        rows.extend(sheet.into_iter().skip(header));
    }
    rows
}

/// The elements of a list in the first of `holders`, each followed by all that it stands in.
fn elements<'a>(holders: &[&'a Value], list: &str) -> Vec<Vec<&'a Value>> {
    let listed = holders.first().and_then(|holder| holder.get(list)).map(each).unwrap_or_default();
    listed.iter().map(|element| [&[element], holders].concat()).collect()
}

/// What a list holds; what is no list stands for itself.
fn each(value: &Value) -> &[Value] {
    match value {
        Value::Array(elements) => elements,
        one => std::slice::from_ref(one),
    }
}

/// The name of a column and the path to its value.
fn named(column: &str) -> (&str, &str) {
    column.split_once('=').unwrap_or_else(|| (column.rsplit('.').next().unwrap_or(column), column))
}

/// What stands at a path: empty where nothing does, several things with semicolons between them.
fn cell(value: &Value, path: &str) -> String {
    match value {
        Value::Array(each) => each.iter().map(|one| cell(one, path)).collect::<Vec<_>>().join("; "),
        Value::Object(keys) => {
            let (key, rest) = path.split_once('.').unwrap_or((path, ""));
            keys.get(key).map_or_else(String::new, |value| cell(value, rest))
        }
        Value::Null => String::new(),
        Value::String(text) => text.clone(),
        Value::Number(number) if number.is_f64() => number.as_f64().map_or_else(String::new, number_text),
        other => other.to_string(),
    }
}

/// A whole number stays one: 5, not 5.0. What is next to nothing does not fill a line with zeros.
fn number_text(number: f64) -> String {
    let number = without_last_digits(number);
    if number != 0.0 && number.abs() < 1e-6 { format!("{number:e}") } else { number.to_string() }
}

#[cfg(test)]
mod tests {
    use super::*;
    use serde_json::json;

    #[test]
    fn a_column_is_a_key_of_the_element_or_else_of_the_report() {
        let report = json!({
            "bike": "a", "verdict": "unfit", "limits": { "low_nm": 4.0 },
            "joints": [
                { "joint": "stem", "verdict": "low", "aim": { "nm": 5.5 }, "notes": ["x", "y"], "hints": [{ "text": "t" }, { "text": "u" }] },
                { "joint": "bar", "verdict": null, "aim": null, "notes": [], "hints": [] },
            ],
        });
        let columns = "bike,joint,verdict,limits.low_nm,aim_nm=aim.nm,notes,said=hints.text";
        assert_eq!(
            sheet(&report, "joints", columns),
            [
                ["bike", "joint", "verdict", "low_nm", "aim_nm", "notes", "said"],
                ["a", "stem", "low", "4", "5.5", "x; y", "t; u"],
                ["a", "bar", "", "4", "", "", ""],
            ]
        );
        assert_eq!(sheet(&report, "", "bike"), [["bike"], ["a"]]);
        assert_eq!(sheet(&json!([]), "", "bike"), [["bike"]]);
        let list = json!([{ "bike": "a", "limits": null }, { "bike": "b", "limits": { "low_nm": 1.5 } }]);
        assert_eq!(sheet(&list, "", "bike,limits.low_nm")[1..], [["a", ""], ["b", "1.5"]]);
        let own = json!({ "limits": { "low_nm": 9.0 }, "joints": [{ "limits": null }] });
        assert_eq!(sheet(&own, "joints", "limits.low_nm")[1], [""]);
    }

    #[test]
    fn an_element_of_an_inner_list_comes_before_what_it_stands_in() {
        let report = json!({
            "rows": 9, "title": "t",
            "entries": [
                { "entry": "stem", "rows": 3, "wrenches": [{ "wrench": "a", "rows": 1 }, { "wrench": "b", "rows": 2 }] },
                { "entry": "bar", "rows": 0, "wrenches": [] },
                { "entry": "seat", "wrenches": [{ "wrench": "c" }] },
            ],
        });
        assert_eq!(
            sheet(&report, "entries.wrenches", "title,entry,wrench,rows"),
            [
                ["title", "entry", "wrench", "rows"],
                ["t", "stem", "a", "1"],
                ["t", "stem", "b", "2"],
                ["t", "seat", "c", "9"],
            ]
        );
        assert_eq!(sheet(&report, "entries.none", "entry").len(), 1);
    }

    #[test]
    fn numbers_are_written_in_full_without_a_needless_fraction() {
        let report =
            json!({ "a": 0.1, "b": 3, "c": 1e21, "d": true, "e": 12.0, "f": 1.5e-21, "g": 0.1 + 0.2 });
        let row = ["0.1", "3", "1000000000000000000000", "true", "12", "1.5e-21", "0.3"];
        assert_eq!(sheet(&report, "", "a,b,c,d,e,f,g")[1], row);
    }
}
