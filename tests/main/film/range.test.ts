/** Rules of RFC 9110, section 14 (range requests); the section of each rule stands in its test's title. */
import { describe, expect, test } from "vitest";
import { parseRange } from "../../../src-main/film/range.ts";

const sizeBytes = 10_000;
const part = (firstByte: number, lastByte: number) => ({ kind: "part", firstByte, lastByte });
const whole = { kind: "whole" };
const unsatisfiable = { kind: "unsatisfiable" };

describe("one range", () => {
  // The examples of 14.1.2 are for a representation of 10000 bytes, hence the size here.
  test.each<[header: string | null, expected: object, rule: string]>([
    ["bytes=0-499", part(0, 499), "14.1.2: the first 500 bytes"],
    ["bytes=500-999", part(500, 999), "14.1.2: the second 500 bytes"],
    ["bytes=-500", part(9500, 9999), "14.1.2: the final 500 bytes"],
    ["bytes=9500-", part(9500, 9999), "14.1.2: the final 500 bytes, open ended"],
    ["bytes=0-0", part(0, 0), "14.1.2: the first byte"],
    ["bytes=9999-9999", part(9999, 9999), "14.1.2: the last byte"],
    ["bytes=9000-20000", part(9000, 9999), "14.1.2: an end past the representation means its end"],
    ["bytes=-20000", part(0, 9999), "14.1.2: a suffix longer than the representation is all of it"],
    ["Bytes=0-1", part(0, 1), "14.1: range units are case-insensitive"],
    ["bytes= 0-1", part(0, 1), "5.6.3: optional whitespace around the set"],
  ])("%s", (header, expected) => {
    expect(parseRange(header, sizeBytes)).toEqual(expected);
  });
});

describe("no usable range", () => {
  test.each<[header: string | null, expected: object, rule: string]>([
    [null, whole, "no header"],
    ["frames=0-1", whole, "14.2: an unknown unit must be ignored"],
    ["bytes=0-0,-1", whole, "14.2: a server may ignore Range; several ranges are"],
    ["bytes=10000-", unsatisfiable, "14.1.2: the start must be less than the length"],
    ["bytes=10000-10001", unsatisfiable, "14.1.2: the start must be less than the length"],
    ["bytes=-0", unsatisfiable, "14.1.2: a suffix must be longer than zero"],
    ["bytes=5-2", unsatisfiable, "14.1.2: the end must not be less than the start"],
    ["bytes=-", unsatisfiable, "14.1.2: at least one position"],
    ["bytes=a-b", unsatisfiable, "14.1.1: positions are digits"],
    ["bytes=0x10-", unsatisfiable, "14.1.1: positions are digits"],
    ["bytes=--1", unsatisfiable, "14.1.1: positions are digits"],
    ["bytes", unsatisfiable, "14.2: a unit, an equals sign and a set"],
    ["bytes=", unsatisfiable, "14.1.1: the set is not empty"],
  ])("%s", (header, expected) => {
    expect(parseRange(header, sizeBytes)).toEqual(expected);
  });
});

test("an empty file has no first byte, and all of it is its suffix", () => {
  expect(parseRange("bytes=0-", 0)).toEqual(unsatisfiable);
  expect(parseRange("bytes=-1", 0)).toEqual(whole);
});
