use super::Span;

/// A place in a text as a person counts it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Position {
    /// Line, from 1.
    pub line: usize,
    /// Column in Unicode scalar values, from 1; a tab is one, a byte-order mark none.
    pub column: usize,
}

/// A text as read, with its line starts.
#[derive(Clone, Debug)]
pub struct SourceText<'a> {
    text: &'a str,
    starts: Vec<usize>,
}

impl<'a> SourceText<'a> {
    /// Indexes the lines of `text`. Lines end at a line feed; a carriage return before it is part of the line.
    pub fn new(text: &'a str) -> Self {
        let mut starts = vec![0];
        starts.extend(text.bytes().enumerate().filter(|&(_, b)| b == b'\n').map(|(i, _)| i + 1));
        Self { text, starts }
    }

    /// The whole text.
    pub fn as_str(&self) -> &'a str {
        self.text
    }

    /// Line and column of the byte at `offset`; past the end gives the end.
    pub fn position(&self, offset: usize) -> Position {
        let mut offset = offset.min(self.text.len());
        while !self.text.is_char_boundary(offset) {
            offset -= 1;
        }
        let line = self.starts.partition_point(|&s| s <= offset);
        let start = self.starts[line - 1];
        let before = &self.text[start..offset];
        let mark = usize::from(line == 1 && before.starts_with('\u{feff}'));
        Position { line, column: before.chars().count() - mark + 1 }
    }

    /// The words of a span; empty where the span does not lie on character bounds.
    pub fn words(&self, span: Span) -> &'a str {
        self.text.get(span.start..span.end).unwrap_or("")
    }

    /// Number of lines.
    pub fn line_count(&self) -> usize {
        self.starts.len()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn columns_count_characters_and_skip_the_byte_order_mark() {
        let text = SourceText::new("\u{feff}Pear\n½\tch 14\n");
        assert_eq!(text.position(3), Position { line: 1, column: 1 });
        let ch = text.as_str().find("ch").unwrap();
        assert_eq!(text.position(ch), Position { line: 2, column: 3 });
        assert_eq!(text.position(9999).line, 3);
    }
}
