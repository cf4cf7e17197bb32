//! Explanations held to their own numbers.

use gangday_calc::{Buying, Conditions, Explaining, Explanation, StageRules};
use gangday_model::{Nation, ParameterTable};

/// A function by the text that opens it.
type Named = (&'static str, fn(f64) -> f64);

/// Reads arithmetic as a person does: products before sums, brackets first.
struct Sum<'a> {
    rest: &'a str,
}

impl Sum<'_> {
    fn of(text: &str) -> f64 {
        let mut sum = Sum { rest: text };
        let value = sum.terms();
        assert_eq!(sum.rest.trim(), "", "left over of {text}");
        value
    }

    fn eat(&mut self, token: &str) -> bool {
        let rest = self.rest.trim_start();
        let found = rest.strip_prefix(token);
        self.rest = found.unwrap_or(rest);
        found.is_some()
    }

    fn terms(&mut self) -> f64 {
        let mut value = self.factors();
        loop {
            if self.eat("+") {
                value += self.factors();
            } else if self.eat("- ") {
                value -= self.factors();
            } else {
                return value;
            }
        }
    }

    fn factors(&mut self) -> f64 {
        let mut value = self.one();
        loop {
            if self.eat("x ") {
                value *= self.one();
            } else if self.eat("/ ") {
                value /= self.one();
            } else {
                return value;
            }
        }
    }

    fn one(&mut self) -> f64 {
        let functions: [Named; 3] = [
            ("up(", |value| (value - 1e-6).ceil()),
            ("exp(", f64::exp),
            ("(", |value| value),
        ];
        for (name, function) in functions {
            if self.eat(name) {
                let value = self.terms();
                assert!(self.eat(")"), "a bracket is open before {}", self.rest);
                return function(value);
            }
        }
        let end = self
            .rest
            .find(|c: char| !(c.is_ascii_digit() || ".-e".contains(c)));
        let (number, rest) = self.rest.split_at(end.unwrap_or(self.rest.len()));
        self.rest = rest;
        number.parse().expect("a number")
    }
}

/// Explanations by these tables at 10 C in England, on a street whose type nobody knows.
pub fn by<'a>(
    method: &'a ParameterTable,
    materials: &'a ParameterTable,
    rules: &'a StageRules,
) -> Explaining<'a> {
    Explaining {
        method,
        materials,
        rules,
        conditions: Conditions::at(10.0),
        road_type: None,
        nation: Nation::England,
        buying: Buying::default(),
    }
}

/// Every quantity comes to its value by its numbers, and rests on rows with unit, source and date.
pub fn hold(told: &Explanation, about: &str) {
    for quantity in &told.quantities {
        let (name, numbers) = (&quantity.quantity, &quantity.numbers);
        let worked = Sum::of(numbers);
        let close = (worked - quantity.value).abs() <= 1e-8 + quantity.value.abs() * 1e-9;
        assert!(
            close,
            "{about}, {name}: {numbers} = {worked}, not {}",
            quantity.value
        );
        assert!(
            !quantity.parameters.is_empty(),
            "{about}, {name} rests on nothing"
        );
        let digits = |number: &str| number.chars().filter(char::is_ascii_digit).count();
        let noisy = |number: &&str| number.contains('.') && digits(number) > 14;
        assert_eq!(numbers.split([' ', '(', ')']).find(noisy), None, "{name}");
        for traced in &quantity.parameters {
            assert!(
                !traced.unit.is_empty(),
                "{name}: {} has no unit",
                traced.key
            );
            assert!(
                !traced.source.is_empty(),
                "{name}: {} has no source",
                traced.key
            );
            let stated = traced.source.starts_with("stated by ");
            assert!(
                stated || traced.date.len() == 10,
                "{name}: {} has no date",
                traced.key
            );
        }
    }
}
