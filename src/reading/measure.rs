//! Measures: "8 in", "6½\" [16.5 cm]", "65\"/165 cm".

use super::cursor::Cursor;
use super::lex::Kind;

impl Cursor<'_> {
    /// A measure in millimetres, with the same in other units behind it. The metric figure is taken where both are told.
    pub fn measure_mm(&mut self) -> Option<f64> {
        let start = self.at;
        let (first, metric) = self.one_measure().or_else(|| {
            self.at = start;
            None
        })?;
        let mut mm = first;
        let back = self.at;
        let bracket = matches!(self.kind(0), Some(Kind::Open(_)));
        let slash = self.kind(0) == Some(&Kind::Other('/'));
        if bracket || slash {
            self.at += 1;
            match self.one_measure() {
                Some((other, other_metric)) if !bracket || matches!(self.kind(0), Some(Kind::Close(_))) => {
                    self.at += usize::from(bracket);
                    if other_metric && !metric {
                        mm = other;
                    }
                }
                _ => self.at = back,
            }
        }
        Some(mm)
    }

    /// One number with its unit; true where it is metric.
    fn one_measure(&mut self) -> Option<(f64, bool)> {
        let n = self.decimal()?;
        let _ = self.eat_kind(&Kind::Dash);
        let (factor, metric) = match self.kind(0)? {
            Kind::Word(w) => match w.as_str() {
                "cm" | "cms" | "centimeters" | "centimetres" => (10.0, true),
                "mm" => (1.0, true),
                "in" | "ins" | "inch" | "inches" => (25.4, false),
                "yd" | "yds" | "yards" => (914.4, false),
                _ => return None,
            },
            Kind::Other('"' | '”' | '″' | '“') => (25.4, false),
            _ => return None,
        };
        self.at += 1;
        let _ = self.eat_kind(&Kind::Stop) && !self.at_break() || {
            // the stop of "in." was eaten only where the sentence goes on
            let ends = self.at > 0 && self.tokens.get(self.at - 1).is_some_and(|t| t.kind == Kind::Stop);
            self.at -= usize::from(ends);
            false
        };
        Some((n * factor, metric))
    }

    /// "8", "8.5", "8½", "8 1/2", "½".
    fn decimal(&mut self) -> Option<f64> {
        let part = |c: &Self| match c.kind(0) {
            Some(Kind::Other('½')) => Some(0.5),
            Some(Kind::Other('¼')) => Some(0.25),
            Some(Kind::Other('¾')) => Some(0.75),
            Some(Kind::Other('⅓')) => Some(1.0 / 3.0),
            Some(Kind::Other('⅔')) => Some(2.0 / 3.0),
            _ => None,
        };
        if let Some(part) = part(self) {
            self.at += 1;
            return Some(part);
        }
        let Some(&Kind::Number(n)) = self.kind(0) else { return None };
        self.at += 1;
        let whole = f64::from(n);
        if let Some(part) = part(self) {
            self.at += 1;
            return Some(whole + part);
        }
        if let (Some(Kind::Stop), Some(&Kind::Number(tenths))) = (self.kind(0), self.kind(1)) {
            self.at += 2;
            let digits = tenths.to_string().len() as i32;
            return Some(whole + f64::from(tenths) / 10f64.powi(digits));
        }
        if let (Some(&Kind::Number(over)), Some(Kind::Other('/')), Some(&Kind::Number(under @ 2..=16))) =
            (self.kind(0), self.kind(1), self.kind(2))
        {
            self.at += 3;
            return Some(whole + f64::from(over) / f64::from(under));
        }
        Some(whole)
    }
}

#[cfg(test)]
mod tests {
    use super::super::cursor::House;
    use super::super::lex::tokens;
    use super::*;

    fn mm(text: &str) -> Option<(f64, bool)> {
        let (toks, house) = (tokens(text, 0), House::default());
        let mut c = Cursor::new(&toks, &house);
        c.measure_mm().map(|mm| (mm, c.done()))
    }

    #[test]
    fn a_measure_in_any_form_is_so_many_millimetres() {
        assert_eq!(mm("8 in"), Some((203.2, true)));
        assert_eq!(mm("6½\" [16.5 cm]"), Some((165.0, true)));
        assert_eq!(mm("2 1/2\""), Some((63.5, true)));
        assert_eq!(mm("65\"/165 cm"), Some((1650.0, true)));
        assert_eq!(mm("20 cm [8\"]"), Some((200.0, true)));
        assert_eq!(mm("8 sts"), None);
    }
}
