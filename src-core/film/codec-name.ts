/**
 * The name of a video codec as a person knows it. Takes what a container or a library calls it: a short codec word
 * ("avc"), an ISO-BMFF sample entry ("hvc1"), a Matroska codec id ("V_MPEG4/ISO/ASP") or an AVI four-character code
 * ("XVID"). Anything unknown is given back as it is; null is "an unknown codec".
 */
export function codecName(codec: string | null): string {
  if (codec === null || codec.trim() === "") return "an unknown codec";
  const key = codec.trim().toLowerCase();
  for (const [pattern, name] of names) if (pattern.test(key)) return name;
  return codec.trim();
}

const names: readonly (readonly [RegExp, string])[] = [
  [/^(avc|avc1|avc3|h264|x264|v_mpeg4\/iso\/avc)(\.|$)/, "H.264 (AVC)"],
  [/^(hevc|hvc1|hev1|h265|x265|dvh1|dvhe|v_mpegh\/iso\/hevc)(\.|$)/, "HEVC (H.265)"],
  [/^(vp9|vp09|v_vp9)(\.|$)/, "VP9"],
  [/^(vp8|vp08|vp80|v_vp8)(\.|$)/, "VP8"],
  [/^(av1|av01|v_av1)(\.|$)/, "AV1"],
  [/^(prores|apch|apcn|apcs|apco|ap4h|ap4x|v_prores)/, "Apple ProRes"],
  [/^(mjpeg|mjpg|mjpa|mjpb|jpeg|v_mjpeg|dmb1)/, "Motion JPEG"],
  [/^(mp4v|xvid|divx|dx50|fmp4|mp4s|v_mpeg4\/iso\/(asp|sp|ap))/, "MPEG-4 Part 2 (DivX, Xvid)"],
  [/^(mpeg2|mpg2|mp2v|m2v1|v_mpeg2|hdv|mx[345][np])/, "MPEG-2"],
  [/^(mpeg1|mpg1|v_mpeg1)/, "MPEG-1"],
  [/^(dvc|dvsd|dvhd|dvcp|dv5|dvh)/, "DV"],
  [/^(avdn|avdh)/, "Avid DNxHD"],
  [/^(cfhd)/, "CineForm"],
  [/^(wmv|wvc1|vc-1)/, "Windows Media Video"],
  [/^(flv1|h263|s263)/, "H.263"],
  [/^(theora|v_theora)/, "Theora"],
];
