import type { Figure } from "#core/report/document";
import { svgOf } from "#core/report/svg";
import { saveBytes, saveText } from "../app/save-text.ts";
import { useFailures } from "../app/failures.tsx";
import { Button } from "../parts/button.tsx";
import { FigureView } from "../stage/report/figure-view.tsx";
import { picturePng } from "../stage/report/picture-png.ts";

/** A picture that can be kept as a file. */
export function SavedFigure({ figure, name }: { readonly figure: Figure; readonly name: string }) {
  const { attempt } = useFailures();
  return (
    <div className="saved-figure">
      <FigureView figure={figure} still={null} />
      <p className="row">
        <Button
          name={`Save ${name} as SVG`}
          onPress={() => saveText(`${name}.svg`, svgOf(figure.picture, figure.alt, null), "image/svg+xml")}
        >
          SVG
        </Button>
        <Button
          name={`Save ${name} as PNG`}
          onPress={() =>
            void attempt(async () => saveBytes(`${name}.png`, await picturePng(figure.picture, null), "image/png"))
          }
        >
          PNG
        </Button>
      </p>
    </div>
  );
}
