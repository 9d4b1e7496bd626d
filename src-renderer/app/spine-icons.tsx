import type { ReactNode } from "react";

function Icon({ children }: { readonly children: ReactNode }) {
  return (
    <svg viewBox="0 0 20 20" aria-hidden="true">
      {children}
    </svg>
  );
}

export function BookIcon() {
  return (
    <Icon>
      <path d="M4 3.5h12v13H4zM7 3.5v13M9.5 7h4M9.5 10h4" />
    </Icon>
  );
}

export function CutIcon() {
  return (
    <Icon>
      <path d="M2.5 6h15v8h-15zM7 6v8M12.5 6v8M7 3.5v2.5M12.5 14v2.5" />
    </Icon>
  );
}

export function FieldIcon() {
  return (
    <Icon>
      <path d="M2.5 15.5 6 5h8l3.5 10.5zM8.7 5 7.5 15.5M11.3 5l1.2 10.5M4 11h12" />
    </Icon>
  );
}

export function GradeIcon() {
  return (
    <Icon>
      <path d="M3 3.5h14v13H3zM3 8h14M3 12.2h14M8 3.5v13M10.5 10l1.2 1.2 2.6-2.6" />
    </Icon>
  );
}

export function MechanicsIcon() {
  return (
    <Icon>
      <path d="M3 4h14v12H3zM3 10h14M6.5 7a1.2 1.2 0 1 0 0 .1M12 12l2.5 2.5M14.5 12 12 14.5" />
    </Icon>
  );
}

export function HelpIcon() {
  return (
    <Icon>
      <path d="M3 6h14v9H3zM5.5 8.5h1M9.5 8.5h1M13.5 8.5h1M6.5 12h7" />
    </Icon>
  );
}

export function PaperIcon() {
  return (
    <Icon>
      <path d="M5 2.5h7l3 3v12H5zM12 2.5v3h3" />
      <path d="M10 7.5a3.5 3.5 0 1 0 2.6 5.8A2.8 2.8 0 0 1 10 7.5z" />
    </Icon>
  );
}

export function SeasonIcon() {
  return (
    <Icon>
      <path d="M3 16.5h14M3 16.5v-13M6 12.5h5M9 9h6M7 5.5h4M8.5 11.5v2M12 8v2M9 4.5v2" />
    </Icon>
  );
}

export function LibraryIcon() {
  return (
    <Icon>
      <path d="M3.5 5h13v10.5h-13zM3.5 8.5h13M8 11h4M6 5V3h8v2" />
    </Icon>
  );
}
