//! What is a folder laid down with?

use super::{Answer, Column, Description, Gather, Table, Value};

/// A folder that was laid down.
#[derive(Clone, Debug, PartialEq)]
pub struct Started {
    /// The folder, as a person names it.
    pub folder: String,
    /// Its files, each with what it is for and whether it is new.
    pub files: Vec<(String, &'static str, Laid)>,
}

/// What became of a file that belongs there.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Laid {
    /// It was not there, and now is.
    New,
    /// It was there, and is as it was.
    Kept,
}

impl Answer for Started {
    fn describe(&self) -> Description {
        let is_new = |laid: &Laid| *laid == Laid::New;
        let new = self.files.iter().filter(|(.., laid)| is_new(laid)).count();
        let mut all = Description::new(format!("{}: {new} new files", self.folder));
        all.data("folder", self.folder.as_str());
        let mut table = Table::new(vec![
            Column::new("file", "file"),
            Column::new("purpose", "for"),
            Column::new("state", ""),
        ])
        .keyed("files");
        for (file, purpose, laid) in &self.files {
            let state = match laid {
                Laid::New => Value::term("new", ""),
                Laid::Kept => Value::term("kept", "was there, kept"),
            };
            // People see a table once, as the text that every spreadsheet opens.
            table.row(vec![file.as_str().into(), (*purpose).into(), state]);
        }
        all.add(table);
        all.note(
            "read GUIDE.md first: how to make strips, how to read them, how to find the exposure",
        );
        all.note("wedgebook.toml has what is usual: commands that are called in this folder or below take it");
        all
    }
}
