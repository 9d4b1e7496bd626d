import { expect, test } from "vitest";
import { codecName } from "../../../src-core/film/codec-name.ts";

// ISO-BMFF sample entries as registered at mp4ra.org, Matroska codec ids of RFC 9559's codec list, AVI codes in use.
test.each([
  ["avc1.640028", "H.264 (AVC)"],
  ["V_MPEG4/ISO/AVC", "H.264 (AVC)"],
  ["hvc1", "HEVC (H.265)"],
  ["hev1.1.6.L93.B0", "HEVC (H.265)"],
  ["V_MPEGH/ISO/HEVC", "HEVC (H.265)"],
  ["vp09.00.10.08", "VP9"],
  ["av01", "AV1"],
  ["apcn", "Apple ProRes"],
  ["MJPG", "Motion JPEG"],
  ["XVID", "MPEG-4 Part 2 (DivX, Xvid)"],
  ["V_MPEG4/ISO/ASP", "MPEG-4 Part 2 (DivX, Xvid)"],
  ["dvsd", "DV"],
  ["WMV3", "Windows Media Video"],
  ["XYZW", "XYZW"],
  [" ", "an unknown codec"],
  [null, "an unknown codec"],
])("%s is %s", (codec, name) => {
  expect(codecName(codec)).toBe(name);
});
