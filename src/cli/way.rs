//! What helps where a question is refused, as the place has it from which it was asked: an option of the command line,
//! or a button or a field of the page.

/// What can be done about a refusal.
#[derive(Clone, Copy, Debug)]
pub enum Way {
    /// What is entered already is entered once more.
    Again,
    /// An entry of an earlier day is put in its place.
    Late,
    /// An unlikely amount is right.
    Sure,
    /// What contradicts is taken all the same.
    Anyway,
    /// Nothing is kept of a file that is replaced.
    Replace,
    /// The log exposure behind clear tablet is stated.
    Exposure,
    /// Steps are taken in the opposite order.
    Reversed,
    /// Temperatures without a unit are in °F.
    Fahrenheit,
    /// Where a pairing is named.
    Pairing,
}

impl Way {
    /// What to do, as a clause.
    pub fn words(self) -> &'static str {
        let (option, page) = match self {
            Self::Again => {
                ("use --again to enter it once more", "the button below enters it once more")
            }
            Self::Late => (
                "use --late to put it in its place by date",
                "the button below puts it in its place by date",
            ),
            Self::Sure => ("use --sure to enter it", "the button below enters it"),
            Self::Anyway => {
                ("use --anyway to go on all the same", "the button below goes on all the same")
            }
            Self::Replace => (
                "use --replace to keep nothing of this file",
                "the button below keeps nothing of this file",
            ),
            Self::Exposure => (
                "give it with --log-exposure-clear",
                "give it in the field “Log exposure behind clear tablet”",
            ),
            Self::Reversed => (
                "--reversed takes them in the opposite order",
                "the button below takes them in the opposite order",
            ),
            Self::Fahrenheit => (
                "--fahrenheit takes the whole column as °F",
                "the button below takes the whole column as °F",
            ),
            Self::Pairing => ("with --pairing", "in the field “Pairing”"),
        };
        if super::asked_by_page() { page } else { option }
    }
}
