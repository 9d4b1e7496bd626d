import { useState } from "react";
import { useService } from "./service.tsx";

const folderKey = "crewglass.export-folder";

/** Where exports go: beside the library until another folder is named. */
export function useExportFolder(): [string, (folder: string) => void] {
  const { info } = useService();
  const [folder, setFolder] = useState(
    () => localStorage.getItem(folderKey) ?? info.path.replace(/[\\/][^\\/]*$/u, (name) => `${name.charAt(0)}Exports`),
  );
  return [
    folder,
    (next) => {
      localStorage.setItem(folderKey, next);
      setFolder(next);
    },
  ];
}
