/** The look of a written report: the field book's sheet by day and by night, and in print. */
export const reportStyle = `
:root{color-scheme:light dark;--paper:#f6f1e4;--sheet:#fbf8ef;--rule:#cfd9d3;--rule-strong:#9fb0aa;--ink:#1f2a30;--ink-soft:#55636a;--measured:#14598f;--wrong:#a5321c;--wrong-wash:#a5321c12;--unsure:#6a5a1e;--focus:#c26a12;--serif:"Iowan Old Style","Palatino Linotype",Palatino,"Book Antiqua","DejaVu Serif",Georgia,serif;--sans:ui-sans-serif,"Segoe UI","Helvetica Neue","Noto Sans","DejaVu Sans",Arial,sans-serif}
@media (prefers-color-scheme:dark){:root{--paper:#161c1d;--sheet:#1c2425;--rule:#2e3c3b;--rule-strong:#4d605d;--ink:#e9e3d3;--ink-soft:#a5b0ab;--measured:#7cc0f0;--wrong:#ff957d;--wrong-wash:#ff957d14;--unsure:#e0c468;--focus:#f0a24a}}
*{box-sizing:border-box}
html{-webkit-text-size-adjust:100%;text-size-adjust:100%}
body{margin:0;background:var(--paper);color:var(--ink);font:16px/1.5 var(--sans);font-variant-numeric:tabular-nums;overflow-wrap:anywhere}
body>*{max-width:60rem;margin-inline:auto;background:var(--sheet);padding-inline:clamp(1rem,5vw,3.5rem);border-inline:1px solid var(--rule)}
body>header{padding-top:clamp(1.5rem,5vw,3rem)}
body>header p{color:var(--ink-soft);margin:.25rem 0 0}
body>main{padding-block:1.5rem 2rem}
body>footer{border-top:1px solid var(--rule-strong);padding-block:.9rem 2.5rem;color:var(--ink-soft);font-size:.85rem}
h1,h2,h3,h4{font-family:var(--serif);font-weight:600;line-height:1.2;margin:0;text-wrap:balance}
h1{font-size:clamp(1.6rem,5vw,2.15rem)}
main>h2{font-size:1.4rem;margin:2.5rem 0 .75rem;padding-bottom:.3rem;border-bottom:1px solid var(--rule-strong)}
main>h2:first-child{margin-top:0}
main>h3{font-size:1.15rem;margin:1.75rem 0 .5rem}
.card h2,.card h3,.card h4{font-size:1.1rem}
p{margin:.6rem 0;max-width:44rem}
footer p{margin:0}
.soft,figcaption{color:var(--ink-soft)}
.soft{font-size:.92rem}
.caution{border-left:4px double var(--unsure);padding:.15rem 0 .15rem .9rem;margin:1.1rem 0}
.lost{font-style:italic}
dl{margin:.9rem 0;border-top:1px solid var(--rule)}
dl>div{display:grid;grid-template-columns:minmax(9rem,18rem) 1fr;gap:0 1.25rem;border-bottom:1px solid var(--rule);padding:.3rem 0}
dt{color:var(--ink-soft)}
dd{margin:0}
.wide{overflow-x:auto;margin:1.25rem 0}
table{border-collapse:collapse;width:100%;font-size:.94rem;overflow-wrap:normal}
caption{text-align:left;font-weight:600;padding:0 0 .4rem;overflow-wrap:anywhere}
th,td{text-align:left;vertical-align:top;padding:.32rem .8rem .32rem 0;border-bottom:1px solid var(--rule);font-weight:400;max-width:24rem;overflow-wrap:break-word}
th:last-child,td:last-child{padding-right:.2rem}
thead th{border-bottom:1.5px solid var(--rule-strong);border-top:1.5px solid var(--rule-strong);color:var(--ink-soft);font-size:.86rem;vertical-align:bottom}
tbody th{font-weight:600}
.end{text-align:right}
.short{white-space:nowrap}
.long{min-width:15rem}
.printed{display:none}
.card .figures>figure:only-child{max-width:36rem}
.moving{max-width:44rem}
.figures{display:grid;grid-template-columns:repeat(auto-fit,minmax(min(100%,20rem),1fr));gap:1.1rem;margin:1.1rem 0}
figure{margin:1.1rem 0;break-inside:avoid}
.figures>figure,.step>figure{margin:0}
.picture,video{display:block;width:100%;height:auto;border:1px solid var(--rule-strong);background:#14191a}
.picture.on-paper{background:#fbf8ef}
figcaption{font-size:.88rem;margin-top:.35rem;line-height:1.4;max-width:44rem}
.card{border-left:5px solid var(--rule-strong);padding:.55rem 0 .65rem 1.1rem;margin:1.4rem 0}
.card .head{display:flex;flex-wrap:wrap;gap:.2rem 1rem;align-items:baseline;justify-content:space-between}
.verdict{margin:0;font-weight:700;white-space:nowrap}
.sign{display:inline-block;min-width:1.1em;text-align:center}
.card.met{border-color:var(--measured)}
.card.met .verdict{color:var(--measured)}
.card.missed{border-color:var(--wrong);border-left-style:double;border-left-width:7px;background:linear-gradient(90deg,var(--wrong-wash),transparent 70%)}
.card.missed .verdict{color:var(--wrong)}
.card.unsure{border-color:var(--unsure);border-left-style:dotted}
.card.unsure .verdict{color:var(--unsure)}
.steps{border:1px solid var(--rule-strong);padding:.4rem .9rem .9rem;margin:1.4rem 0;min-width:0}
.steps legend{font-weight:600;padding:0 .4rem;margin-left:-.4rem}
.steps>input{position:absolute;opacity:0;width:1px;height:1px;margin:0}
.steps>label{display:inline-block;border:1px solid var(--rule-strong);padding:.25rem .75rem;margin:.25rem .35rem .25rem 0;min-height:2rem;cursor:pointer}
.steps>input:checked+label{background:var(--ink);color:var(--sheet);border-color:var(--ink);text-decoration:underline;text-underline-offset:.25em}
.steps>input:focus-visible+label,.wide:focus-visible,video:focus-visible{outline:3px solid var(--focus);outline-offset:2px}
.pages{margin-top:.6rem}
.step{display:none}
.step>.label{display:none}
@media (max-width:34rem){dl>div{grid-template-columns:1fr}dt{font-size:.88rem}.card{padding-left:.8rem}}
@media (prefers-color-scheme:dark){.picture.on-paper{filter:invert(.88) hue-rotate(180deg)}.picture.on-film,video{filter:brightness(.92)}}
@media print{
@page{size:A4;margin:16mm 15mm 20mm}
:root{--paper:#fff;--sheet:#fff;--rule:#cfd9d3;--rule-strong:#9fb0aa;--ink:#1f2a30;--ink-soft:#55636a;--measured:#14598f;--wrong:#a5321c;--wrong-wash:transparent;--unsure:#6a5a1e}
body{font-size:10.5pt}
body>*{max-width:none;padding-inline:0;border-inline:0}
body>header{padding-top:0}
h1,h2,h3,h4{break-after:avoid}
.card,figure,tr,dl>div,.caution{break-inside:avoid}
thead{display:table-header-group}
.wide{overflow:visible}
.figures{grid-template-columns:repeat(2,1fr)}
.figures>figure:only-child{grid-column:1/-1}
.steps{border:0;padding:0}
.steps>input,.steps>label{display:none}
.pages{display:grid;grid-template-columns:repeat(2,1fr);gap:5mm}
.step{display:block!important;break-inside:avoid}
.step>.label{display:block;font-weight:600;margin:0 0 1mm}
video{display:none}
.printed{display:block}
.picture,.picture.on-paper,.picture.on-film{filter:none}
*{print-color-adjust:exact;-webkit-print-color-adjust:exact}
}
`;
