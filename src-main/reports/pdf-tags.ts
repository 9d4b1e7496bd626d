/** The tags of a page of paper, by which it is read out: what each mark on it is, or that it is only ornament. */
export type Tag = PDFKit.PDFStructureElement;

/** What pdfkit takes and its types do not know of. */
export type TagOptions = {
  readonly alt?: string;
  readonly scope?: "Column" | "Row";
  /** Left, top, right and bottom, in points of the page. */
  readonly bbox?: readonly [number, number, number, number];
  readonly placement?: "Block";
};

export type Tagging = ReturnType<typeof tagging>;

export function tagging(pdf: PDFKit.PDFDocument) {
  const root = pdf.struct("Document");
  pdf.addStructure(root);
  const under = (parent: Tag, name: string, options: TagOptions = {}): Tag => {
    const tag = pdf.struct(name, options);
    parent.add(tag);
    return tag;
  };
  /** Draws what belongs to a tag; one that goes on over several lines or pages is drawn into several times. */
  const into = (tag: Tag, name: string, draw: () => void): void => {
    const content = pdf.markStructureContent(name);
    draw();
    pdf.endMarkedContent();
    tag.add(content);
  };
  return {
    root,
    under,
    into,
    tagged(parent: Tag, name: string, draw: () => void, options: TagOptions = {}): Tag {
      const tag = under(parent, name, options);
      into(tag, name, draw);
      return tag;
    },
    artifact(draw: () => void, type: "Layout" | "Pagination" = "Layout"): void {
      pdf.markContent("Artifact", { type });
      draw();
      pdf.endMarkedContent();
    },
  };
}
