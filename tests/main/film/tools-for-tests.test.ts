import { expect, test } from "vitest";
import { planTools } from "../../helpers/ensure-tools.ts";

const chromium = { name: "Chromium, Chrome or Edge", debianPackage: "chromium" };
const ffmpeg = { name: "ffmpeg", debianPackage: "ffmpeg" };
const debian = { platform: "linux", isDebian: true, isRoot: true };

test("missing tools are installed only on Debian as root; elsewhere the sentence holds the one line to run", () => {
  expect(planTools([], debian)).toEqual({ kind: "ready" });
  expect(planTools([chromium, ffmpeg], debian)).toEqual({ kind: "install", packages: ["chromium", "ffmpeg"] });
  expect(planTools([ffmpeg], { ...debian, isRoot: false })).toEqual({
    kind: "stop",
    sentence: "The tests need ffmpeg. Run: sudo apt-get install -y ffmpeg",
  });
  expect(planTools([chromium], { platform: "darwin", isDebian: false, isRoot: false })).toEqual({
    kind: "stop",
    sentence: "The tests need Chromium, Chrome or Edge. Run: brew install --cask chromium",
  });
  expect(planTools([chromium, ffmpeg], { platform: "win32", isDebian: false, isRoot: false })).toEqual({
    kind: "stop",
    sentence:
      "The tests need Chromium, Chrome or Edge and ffmpeg. Run: winget install Google.Chrome && winget install Gyan.FFmpeg",
  });
});
