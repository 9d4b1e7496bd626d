import { type ReactNode, useEffect, useState } from "react";
import type { Block, Fact, Figure, ReportAssets, ReportDocument } from "#core/report/document";
import { outlined, verdictMarks } from "#core/report/outline";
import { FigureView } from "./figure-view.tsx";
import "./report-view.css";
import { StepThrough } from "./step-through.tsx";

/** A report on screen: what is written as HTML and PDF, in the same order and words. */
export function ReportView({
  document,
  assets,
  insteadOfMoving,
}: {
  readonly document: ReportDocument;
  readonly assets: ReportAssets;
  /** What stands in the place of a moving picture that is not made yet, by its key. */
  readonly insteadOfMoving?: (key: string) => ReactNode;
}) {
  return (
    <article className="report" aria-label={document.title} tabIndex={0}>
      <header>
        <h2>{document.title}</h2>
        {document.lines.map((line) => (
          <p key={line}>{line}</p>
        ))}
      </header>
      {outlined(document).map(({ block, level }, index) => (
        <BlockView key={index} block={block} level={level} assets={assets} insteadOfMoving={insteadOfMoving} />
      ))}
      <footer>{document.footer}</footer>
    </article>
  );
}

/** The window's own heading stands above the report's. */
function Heading({ level, children }: { readonly level: number; readonly children: ReactNode }) {
  const Tag = (["h2", "h3", "h4", "h5"] as const)[level - 1] ?? "h5";
  return <Tag>{children}</Tag>;
}

function BlockView({
  block,
  level,
  assets,
  insteadOfMoving,
}: {
  readonly block: Block;
  readonly level: number;
  readonly assets: ReportAssets;
  readonly insteadOfMoving: ((key: string) => ReactNode) | undefined;
}) {
  switch (block.kind) {
    case "heading":
      return <Heading level={level}>{block.text}</Heading>;
    case "text":
      return <p className={block.tone}>{block.text}</p>;
    case "facts":
      return <Facts facts={block.facts} />;
    case "table":
      return <TableView block={block} />;
    case "figures":
      return <Figures figures={block.figures} assets={assets} />;
    case "card":
      return (
        <section className="card" data-verdict={block.verdict ?? undefined}>
          <Heading level={level}>
            {block.verdict === null ? null : (
              <span className="verdict">
                <span aria-hidden="true">{verdictMarks[block.verdict]}</span> {block.verdict}
              </span>
            )}{" "}
            {block.heading}
          </Heading>
          {block.sentences.map((sentence) => (
            <p key={sentence}>{sentence}</p>
          ))}
          <Figures figures={block.figures} assets={assets} />
          <Facts facts={block.facts} />
        </section>
      );
    case "steps":
      return (
        <section>
          <Heading level={level}>{block.name}</Heading>
          <StepThrough name={block.name} steps={block.steps} assets={assets} />
        </section>
      );
    case "animation":
      return <MovingPicture block={block} assets={assets} instead={insteadOfMoving?.(block.key)} />;
  }
}

function Facts({ facts }: { readonly facts: readonly Fact[] }) {
  if (facts.length === 0) return null;
  return (
    <dl className="facts">
      {facts.map(({ name, value }) => (
        <div key={name}>
          <dt>{name}</dt>
          <dd>{value}</dd>
        </div>
      ))}
    </dl>
  );
}

function TableView({ block }: { readonly block: Extract<Block, { kind: "table" }> }) {
  return (
    <table>
      <caption>{block.caption}</caption>
      <thead>
        <tr>
          {block.columns.map(({ name, align }) => (
            <th key={name} scope="col" className={align}>
              {name}
            </th>
          ))}
        </tr>
      </thead>
      <tbody>
        {block.rows.map((row, index) => (
          <tr key={index}>
            {row.map((cell, column) => {
              const align = block.columns[column]?.align;
              return column === 0 ? (
                <th key={column} scope="row" className={align}>
                  {cell}
                </th>
              ) : (
                <td key={column} className={align}>
                  {cell}
                </td>
              );
            })}
          </tr>
        ))}
      </tbody>
    </table>
  );
}

function Figures({ figures, assets }: { readonly figures: readonly Figure[]; readonly assets: ReportAssets }) {
  if (figures.length === 0) return null;
  return (
    <div className="figures">
      {figures.map((figure, index) => (
        <FigureView key={index} figure={figure} still={assets.get(figure.picture.stillKey ?? "")?.bytes ?? null} />
      ))}
    </div>
  );
}

function MovingPicture({
  block,
  assets,
  instead = <p className="soft">The moving picture is made when the page is written.</p>,
}: {
  readonly block: Extract<Block, { kind: "animation" }>;
  readonly assets: ReportAssets;
  readonly instead?: ReactNode;
}) {
  const asset = assets.get(block.key);
  const [address, setAddress] = useState<string | null>(null);
  useEffect(() => {
    if (!asset) return setAddress(null);
    const made = URL.createObjectURL(new Blob([new Uint8Array(asset.bytes)], { type: asset.type }));
    setAddress(made);
    return () => URL.revokeObjectURL(made);
  }, [asset]);
  return (
    <figure>
      {address === null ? instead : <video src={address} controls loop muted aria-label={block.alt} />}
      <figcaption>{block.caption}</figcaption>
    </figure>
  );
}
