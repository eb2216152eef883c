package main

import (
	"errors"
	"fmt"
	"math"
	"strconv"
	"strings"

	"sawbook/cabinets/measure"
	"sawbook/cabinets/shop"
)

// flagParser reads the values of flags and gathers what is wrong with them.
type flagParser struct {
	unit   measure.Unit
	faults []error
}

// wrong tells what is wrong with the value of a flag, or of an argument, whose name is in capitals.
func (p *flagParser) wrong(flag, value, what, hint string) {
	if flag != strings.ToUpper(flag) {
		flag = "--" + flag
	}
	if value != "" {
		flag += " " + strconv.Quote(value)
	}
	p.faults = append(p.faults, fmt.Errorf("%s: %s\nhint: %s", flag, what, hint))
}

// err returns all faults as one usage error, nil where there are none.
func (p *flagParser) err() error {
	if len(p.faults) == 0 {
		return nil
	}
	return usageError{errors.Join(p.faults...)}
}

func (p *flagParser) length(flag, text string) measure.Length {
	l, err := measure.Parse(text, p.unit)
	var bad *measure.SyntaxError
	switch {
	case errors.As(err, &bad):
		p.wrong(flag, text, bad.Text, bad.Hint)
	case l < 0:
		p.wrong(flag, text, "a length below 0", "give 0 or more")
	}
	return l
}

// size reads "length x width"; a unit after the second counts for both.
func (p *flagParser) size(flag, text string) (length, width measure.Length) {
	length, width, err := shop.ParseSize(text, p.unit)
	var bad *measure.SyntaxError
	switch {
	case errors.As(err, &bad):
		p.wrong(flag, text, bad.Text, bad.Hint)
	case length <= 0 || width <= 0:
		p.wrong(flag, text, "a size that is not above 0", "give it as length x width, such as 2500x1250")
	}
	return length, width
}

func (p *flagParser) sheet(text string) shop.Sheet {
	size, price, priced := strings.Cut(text, "@")
	s := shop.Sheet{Stock: -1}
	s.Length, s.Width = p.size("sheet", size)
	if priced {
		amount, err := strconv.ParseFloat(strings.TrimSpace(price), 64)
		if err != nil || amount < 0 || amount > 1e9 {
			p.wrong("sheet", text, "the price is no amount of 0 or more", "give it after @, such as 2500x1250@74.50")
		}
		s.Price = shop.Money(math.Round(amount * 100))
	}
	return s
}

func (p *flagParser) stages(text string) int {
	if text == "any" {
		return 0
	}
	n, err := strconv.Atoi(text)
	if err != nil || n < 1 || n > 99 {
		p.wrong("stages", text, "no whole number from 1 to 99", "give the most stages of a pattern, or any")
	}
	return n
}

func (p *flagParser) first(text string) string {
	switch text {
	case "either":
		return ""
	case "rip", "crosscut":
		return text
	}
	p.wrong("first", text, "none of rip, crosscut and either", "rip cuts run along the sheet, crosscuts across it")
	return ""
}
