//! The rules of writing a file, one by one.

use super::*;

/// A folder to write to, with what it holds.
struct Place(tempfile::TempDir);

impl Place {
    fn new() -> Place {
        Place(tempfile::tempdir().unwrap())
    }

    fn path(&self, name: &str) -> PathBuf {
        self.0.path().join(name)
    }

    fn holding(&self, name: &str, text: &str) -> PathBuf {
        fs::write(self.path(name), text).unwrap();
        self.path(name)
    }

    fn text(&self, name: &str) -> String {
        fs::read_to_string(self.path(name)).unwrap()
    }

    /// The names of everything in it.
    fn names(&self) -> Vec<String> {
        let entries = fs::read_dir(self.0.path()).unwrap();
        let mut names: Vec<String> =
            entries.map(|entry| entry.unwrap().file_name().into_string().unwrap()).collect();
        names.sort();
        names
    }
}

fn begun(path: &Path, older: Older, text: &str) -> AtomicFile {
    let mut file = AtomicFile::begin(path, older).unwrap();
    file.write_all(text.as_bytes()).unwrap();
    file
}

#[test]
fn a_file_appears_whole_and_replaces_the_older_one_at_once() {
    let place = Place::new();
    let path = place.holding("picture.svg", "first");
    let file = begun(&path, Older::Replaced, "second");
    assert_eq!(place.text("picture.svg"), "first", "until it is put in its place");
    let draft = file.draft().file_name().unwrap().to_str().unwrap().to_owned();
    assert_ne!(draft, begun(&path, Older::Replaced, "").draft().file_name().unwrap().to_str().unwrap());
    file.put_in_place().unwrap();
    assert_eq!(
        (place.text("picture.svg"), place.names()),
        ("second".to_owned(), vec!["picture.svg".to_owned()])
    );
    write_whole(&path, b"third").unwrap();
    assert_eq!(place.text("picture.svg"), "third");
}

#[test]
fn what_is_given_up_leaves_nothing_and_spares_the_older_one() {
    let place = Place::new();
    let path = place.holding("kept.csv", "kept");
    drop(begun(&path, Older::Replaced, "half of"));
    drop(begun(&place.path("new.csv"), Older::Kept, "half of"));
    assert_eq!((place.text("kept.csv"), place.names()), ("kept".to_owned(), vec!["kept.csv".to_owned()]));
}

#[test]
fn an_older_file_that_is_to_be_kept_is_kept_also_when_it_comes_late() {
    let place = Place::new();
    let path = place.path("late.csv");
    let file = begun(&path, Older::Kept, "ours");
    place.holding("late.csv", "theirs");
    assert_eq!(file.put_in_place().unwrap_err().kind(), io::ErrorKind::AlreadyExists);
    assert_eq!(AtomicFile::begin(&path, Older::Kept).unwrap_err().kind(), io::ErrorKind::AlreadyExists);
    assert_eq!((place.text("late.csv"), place.names()), ("theirs".to_owned(), vec!["late.csv".to_owned()]));
}

#[test]
fn the_first_free_name_is_taken_and_sought_again_when_it_is_taken_meanwhile() {
    let place = Place::new();
    place.holding("w-1", "older");
    let places = || (1..).map(|number| place.path(&format!("w-{number}")));
    let mut file = AtomicFile::begin_in_first_free(places()).unwrap();
    file.write_all(b"ours").unwrap();
    place.holding("w-2", "theirs");
    assert_eq!(file.put_in_first_free(places()).unwrap(), place.path("w-3"));
    assert_eq!(["w-1", "w-2", "w-3"].map(|name| place.text(name)), ["older", "theirs", "ours"]);
    assert_eq!(place.names().len(), 3);
}

#[test]
fn nowhere_to_write_is_told_and_leaves_nothing() {
    let place = Place::new();
    place.holding("file", "kept");
    for path in ["file/under.svg", "no/such/folder.svg", "."] {
        let failure = write_whole(&place.path(path), b"x").unwrap_err();
        assert!(
            failure.message.starts_with("cannot write ") && failure.kind == FailureKind::File,
            "{failure:?}"
        );
    }
    assert!(write_whole(Path::new(""), b"x").is_err());
    assert_eq!(place.names(), ["file"]);
}

#[cfg(unix)]
mod unix {
    use std::os::unix::fs::{PermissionsExt as _, symlink};

    use super::*;

    fn mode(path: &Path) -> u32 {
        fs::metadata(path).unwrap().permissions().mode() & 0o777
    }

    #[test]
    fn permissions_are_kept_and_those_of_a_new_file_are_usual() {
        let place = Place::new();
        let path = place.holding("private.csv", "first");
        fs::set_permissions(&path, fs::Permissions::from_mode(0o640)).unwrap();
        write_whole(&path, b"second").unwrap();
        assert_eq!((mode(&path), place.text("private.csv")), (0o640, "second".to_owned()));
        write_whole(&place.path("ours"), b"x").unwrap();
        assert_eq!(mode(&place.path("ours")), mode(&place.holding("theirs", "x")));
    }

    #[test]
    fn links_stay_links_also_chained_dangling_and_from_folder_to_folder() {
        let place = Place::new();
        fs::create_dir(place.path("inner")).unwrap();
        place.holding("inner/file", "first");
        symlink("inner/file", place.path("link")).unwrap();
        symlink(place.path("link"), place.path("outer")).unwrap();
        symlink("inner/new", place.path("dangling")).unwrap();
        for (link, file) in [("link", "inner/file"), ("outer", "inner/file"), ("dangling", "inner/new")] {
            write_whole(&place.path(link), link.as_bytes()).unwrap();
            assert!(fs::symlink_metadata(place.path(link)).unwrap().is_symlink(), "{link}");
            assert_eq!(place.text(file), link);
        }
        symlink("round", place.path("round")).unwrap();
        assert!(write_whole(&place.path("round"), b"x").is_err());
        // Where nothing may be replaced, a link counts as a file, wherever it leads.
        symlink("inner/newer", place.path("other")).unwrap();
        assert!(AtomicFile::begin(&place.path("other"), Older::Kept).is_err());
    }

    #[test]
    fn devices_are_written_straight_and_stay() {
        write_whole(Path::new("/dev/null"), b"x").unwrap();
        assert!(!fs::metadata("/dev/null").unwrap().is_file());
        let place = Place::new();
        symlink("/dev/null", place.path("nothing")).unwrap();
        write_whole(&place.path("nothing"), b"x").unwrap();
        assert!(fs::symlink_metadata(place.path("nothing")).unwrap().is_symlink());
    }

    #[test]
    #[cfg(target_os = "linux")]
    fn a_full_device_is_told() {
        let failure = write_whole(Path::new("/dev/full"), b"x").unwrap_err();
        assert!(failure.message.contains("No space left"), "{failure:?}");
    }

    /// The name of an open file is written through it: nothing can take its place.
    #[test]
    #[cfg(target_os = "linux")]
    fn an_open_file_is_written_through_its_name() {
        use std::os::fd::AsRawFd as _;

        let place = Place::new();
        let file = File::create(place.path("open")).unwrap();
        write_whole(Path::new(&format!("/dev/fd/{}", file.as_raw_fd())), b"through").unwrap();
        assert_eq!((place.text("open"), file.metadata().unwrap().len()), ("through".to_owned(), 7));
    }
}
