import { fileName } from "#core/report/file-name";
import type { PageInput } from "#core/report/page-input";
import { playAnimation } from "#core/report/play-animation";
import { type AnimationWanted, handout, type TeachingPage, withoutAnimations } from "#core/report/teaching-page";
import type { ExportWork } from "../app/use-export.ts";
import { animatePlay, animationFramesPerSecond, AnimationRefused } from "../stage/report/animate-play.ts";
import { makeStills } from "../stage/report/make-stills.ts";
import { picturePng } from "../stage/report/picture-png.ts";
import { filmAddress } from "./use-stills.ts";

export const teachingForms = ["html", "pdf", "folder"] as const;
export type TeachingForm = (typeof teachingForms)[number];

/** A clinic looks at a wall: its stills are as wide as film mostly is. */
const stillWidthPx = 1280;
/** The ending of a file comes after it, and the whole has to be a name that every system takes. */
const mostTitle = 80;

/** A teaching page with all that belongs to it. What was under way when it is cancelled ends with the export. */
export async function writeTeaching(
  work: ExportWork,
  page: TeachingPage,
  form: TeachingForm,
  input: PageInput,
): Promise<void> {
  const name = fileName(page.document.title.slice(0, mostTitle));
  const stills = await keepStills(work, page);
  const why = form === "pdf" ? new Map<string, string>() : await keepAnimations(work, page, form, input);
  if (form === "folder") await writePictures(work, page, stills);
  work.say("Writing the page", 0, 1);
  if (form !== "pdf") await work.report(name, withoutAnimations(page.document, why), ["html"]);
  if (form !== "html") {
    work.say("Writing the handout", 0, 1);
    await work.report(name, handout(page.document), ["pdf"]);
  }
}

async function keepStills(work: ExportWork, { stills }: TeachingPage): Promise<ReadonlyMap<string, Blob>> {
  const made = new Map<string, Blob>();
  const sent: Promise<void>[] = [];
  work.say("Stills of the film", 0, stills.length || 1);
  const { missing } = await makeStills(stills, {
    urlOf: filmAddress,
    signal: work.signal,
    mostWidthPx: stillWidthPx,
    onStill: ({ key, bytes }) => {
      made.set(key, new Blob([bytes], { type: "image/jpeg" }));
      sent.push(work.keep(key, { type: "image/jpeg", bytes }));
      work.say(`Still ${made.size} of ${stills.length}`, made.size, stills.length);
    },
  });
  await Promise.all(sent);
  work.missing(missing);
  return made;
}

/** Why each moving picture that could not be made is not there; the page comes out with its steps all the same. */
async function keepAnimations(
  work: ExportWork,
  { animations }: TeachingPage,
  form: TeachingForm,
  input: PageInput,
): Promise<ReadonlyMap<string, string>> {
  const why = new Map<string, string>();
  for (const [index, wanted] of animations.entries()) {
    const which =
      animations.length === 1 ? "The moving picture" : `Moving picture ${index + 1} of ${animations.length}`;
    try {
      const bytes = await animateWanted(wanted, input, {
        signal: work.signal,
        onProgress: (done, total) => work.say(`${which}: frame ${done} of ${total}`, done, total),
      });
      await work.keep(wanted.key, { type: "video/webm", bytes });
      if (form === "folder") await work.file(`${wanted.name}.webm`, bytes);
    } catch (error) {
      if (!(error instanceof AnimationRefused)) throw error;
      why.set(wanted.key, error.message);
    }
  }
  for (const sentence of new Set(why.values())) {
    const count = [...why.values()].filter((one) => one === sentence).length;
    work.note(`${count} of ${animations.length} moving pictures could not be made. ${sentence}`);
  }
  return why;
}

/** The moving picture of a play as the page wants it. */
export async function animateWanted(
  { playId, position }: AnimationWanted,
  { records, judged, layout }: PageInput,
  options: Parameters<typeof animatePlay>[1],
): Promise<Uint8Array> {
  const play = records.plays.find(({ id }) => id === playId);
  const course = judged.get(playId)?.course;
  if (!play || !course) throw new AnimationRefused("empty", "The play is no longer there.");
  const animation = playAnimation(course, layout, play.situation, {
    framesPerSecond: animationFramesPerSecond,
    onlyPosition: position,
  });
  return animatePlay(animation, options);
}

/** Each picture of the chosen moments as a file of its own; one whose still is missing is not written. */
async function writePictures(
  work: ExportWork,
  { pictures }: TeachingPage,
  stills: ReadonlyMap<string, Blob>,
): Promise<void> {
  for (const [index, { name, figure }] of pictures.entries()) {
    work.say(`Picture ${index + 1} of ${pictures.length}`, index, pictures.length);
    const { picture } = figure;
    const file = stills.get(picture.stillKey ?? "");
    if (picture.stillKey !== null && !file) continue;
    const image = file ? await createImageBitmap(file) : null;
    try {
      await work.file(`${name}.png`, await picturePng(picture, image && { image, covers: picture.box }));
    } finally {
      image?.close();
    }
  }
}
