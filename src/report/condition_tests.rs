//! Published changes and nut factors, several of them told as one spread.

use super::*;
use crate::book::{Book, compiled_in};
use crate::store::{BookOrigin, Store};

#[test]
fn a_source_of_several_figures_is_named_once() {
    let mut store = Store::in_memory().unwrap();
    store.load_book(&Book::read(&compiled_in()).unwrap(), &BookOrigin::CompiledIn).unwrap();
    let mut page = store.page("crank-pinch-bolts").unwrap().unwrap();
    let once = StatedCondition::of_page(&page);
    assert!(once.iter().any(|stated| !stated.sources.is_empty()));
    page.evidence = page.evidence.iter().flat_map(|value| [value.clone(), value.clone()]).collect();
    assert_eq!(StatedCondition::of_page(&page), once);
}

#[test]
fn several_bands_are_told_from_their_least_to_their_greatest_end() {
    assert_eq!(hull([(-20.0, -15.0), (-25.0, -10.0), (-22.0, -12.0)].into_iter()), Some((-25.0, -10.0)));
    assert_eq!(hull([(-20.0, -10.0), (-25.0, -15.0)].into_iter()), Some((-25.0, -10.0)));
    assert_eq!(hull(std::iter::empty()), None);
}

#[test]
fn a_change_keeps_its_sign_and_is_one_number_where_its_ends_are_alike() {
    assert_eq!(percent_text((-25.0, -15.0)), "-25 to -15 %");
    assert_eq!(percent_text((-5.0, 10.0)), "-5 to +10 %");
    assert_eq!(percent_text((20.0, 20.01)), "+20 %");
}

#[test]
fn a_source_is_named_once() {
    let sources = ["b".to_owned(), "a".to_owned(), "b".to_owned()];
    assert_eq!(once_each(sources.iter()), "a; b");
}
