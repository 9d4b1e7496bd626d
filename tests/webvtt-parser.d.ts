/** The part of the package that the tests use; it comes without types. */
declare module "webvtt-parser" {
  type Cue = { readonly id: string; readonly startTime: number; readonly endTime: number; readonly text: string };
  const webvtt: {
    readonly WebVTTParser: new () => {
      parse(input: string, mode: "metadata"): { readonly cues: readonly Cue[]; readonly errors: readonly unknown[] };
    };
  };
  export default webvtt;
}
