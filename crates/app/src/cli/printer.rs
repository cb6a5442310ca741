//! What the commands print: nothing in it that a terminal acts on, and a reader that goes away early ends no work.

use std::io::{self, ErrorKind, Write};
use telling::{plain, plain_json};

/// Standard output. A closed pipe has had enough: what follows is dropped, and the verdict is still worked out.
pub(super) struct Printer<'a> {
    to: Box<dyn Write + 'a>,
    closed: bool,
}

impl<'a> Printer<'a> {
    pub(super) fn new(to: impl Write + 'a) -> Self {
        Self { to: Box::new(to), closed: false }
    }

    fn put(&mut self, put: impl FnOnce(&mut dyn Write) -> io::Result<()>) -> io::Result<()> {
        if self.closed {
            return Ok(());
        }
        match put(&mut *self.to) {
            Err(error) if error.kind() == ErrorKind::BrokenPipe => {
                self.closed = true;
                Ok(())
            }
            other => other,
        }
    }

    /// One line.
    ///
    /// # Errors
    /// It could not be written, for another reason than that nobody reads on.
    pub(super) fn line(&mut self, text: &str) -> io::Result<()> {
        let text = plain(text);
        self.put(|to| writeln!(to, "{text}"))
    }

    /// A JSON object.
    ///
    /// # Errors
    /// As [`Printer::line`].
    pub(super) fn json(&mut self, object: &str) -> io::Result<()> {
        let object = plain_json(object);
        self.put(|to| writeln!(to, "{object}"))
    }

    /// Lines whose names were made plain when they were put together.
    ///
    /// # Errors
    /// As [`Printer::line`].
    pub(super) fn lines(&mut self, text: &str) -> io::Result<()> {
        text.trim_end().lines().try_for_each(|line| self.line(line))
    }

    /// A file, byte for byte.
    ///
    /// # Errors
    /// As [`Printer::line`].
    pub(super) fn file(&mut self, bytes: &[u8]) -> io::Result<()> {
        self.put(|to| to.write_all(bytes))
    }

    /// What is still on its way.
    ///
    /// # Errors
    /// As [`Printer::line`].
    pub(super) fn finish(mut self) -> io::Result<()> {
        self.put(|to| to.flush())
    }
}

/// A sentence on standard error. Where that is gone too there is nobody to tell; the exit status stands.
pub(super) fn tell(says: &str) {
    let _ = writeln!(io::stderr(), "cupwright: {}", plain(says));
}

#[cfg(test)]
mod tests {
    use super::*;

    struct Refuses(ErrorKind);

    impl Write for Refuses {
        fn write(&mut self, _: &[u8]) -> io::Result<usize> {
            Err(self.0.into())
        }
        fn flush(&mut self) -> io::Result<()> {
            Err(self.0.into())
        }
    }

    #[test]
    fn a_closed_pipe_is_no_error_and_a_full_disk_is() {
        let mut printer = Printer::new(Refuses(ErrorKind::BrokenPipe));
        assert!(printer.line("one").is_ok() && printer.lines("two\nthree").is_ok());
        assert!(printer.file(b"four").is_ok() && printer.finish().is_ok());
        let mut printer = Printer::new(Refuses(ErrorKind::StorageFull));
        assert!(printer.line("one").is_err() && printer.finish().is_err());
    }

    #[test]
    fn names_cannot_act_on_the_terminal() {
        let mut out = Vec::new();
        let mut printer = Printer::new(&mut out);
        printer.line("C1\u{1b}[31m\nholds").unwrap();
        printer.finish().unwrap();
        assert_eq!(out, b"C1[31m holds\n");
    }
}
