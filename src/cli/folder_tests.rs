//! Several files: all or none, and no older one without leave.

use super::*;

const NAMES: [&str; 2] = ["a.csv", "b.csv"];

fn write(path: &Path, replace: bool) -> Result<(), Failure> {
    let folder = Folder::open(path, NAMES, replace)?;
    let files = NAMES.map(|name| folder.file(name, b"new"));
    put_all(files.into_iter().collect::<Result<_, _>>()?)
}

fn names(path: &Path) -> Vec<String> {
    let entries = fs::read_dir(path).unwrap();
    let mut names: Vec<String> =
        entries.map(|entry| entry.unwrap().file_name().into_string().unwrap()).collect();
    names.sort();
    names
}

#[test]
fn a_folder_is_made_and_older_files_are_replaced_only_on_request() {
    let place = tempfile::tempdir().unwrap();
    let path = place.path().join("deep/folder");
    write(&path, false).unwrap();
    assert_eq!(names(&path), NAMES);
    fs::remove_file(path.join("a.csv")).unwrap();
    fs::write(path.join("b.csv"), "older").unwrap();
    let refused = write(&path, false).unwrap_err();
    assert!(refused.message.contains("b.csv stands there already; nothing was written"), "{refused:?}");
    assert_eq!(names(&path), ["b.csv"]);
    assert_eq!(fs::read(path.join("b.csv")).unwrap(), b"older");
    write(&path, true).unwrap();
    assert_eq!(NAMES.map(|name| fs::read(path.join(name)).unwrap()), [b"new", b"new"]);
}

#[test]
fn a_failure_leaves_neither_files_nor_folders_that_were_made() {
    let place = tempfile::tempdir().unwrap();
    let path = place.path().join("deep/folder");
    let folder = Folder::open(&path, NAMES, false).unwrap();
    let files = NAMES.map(|name| folder.file(name, b"new").unwrap());
    // Somebody else is quicker with the second.
    fs::write(path.join("b.csv"), "theirs").unwrap();
    assert!(put_all(files.into()).unwrap_err().message.contains("b.csv"));
    assert_eq!(names(&path), ["b.csv"]);
    assert_eq!(fs::read(path.join("b.csv")).unwrap(), b"theirs");
    drop(folder);
    assert!(path.exists(), "a folder that holds something stays");

    let path = place.path().join("other/folder");
    drop(Folder::open(&path, NAMES, false).unwrap().begin("a.csv").unwrap());
    assert_eq!(names(place.path()), ["deep"]);
}

#[test]
fn a_folder_that_cannot_be_made_is_told() {
    let place = tempfile::tempdir().unwrap();
    fs::write(place.path().join("file"), "kept").unwrap();
    let refused = write(&place.path().join("file/folder"), false).unwrap_err();
    assert!(refused.message.starts_with("cannot make the folder "), "{refused:?}");
    assert_eq!(names(place.path()), ["file"]);
}
