/* frame.c - head, style and script of the page.  Style and script are fixed texts; the
 * browser is told to run this script alone and to fetch nothing (Content Security Policy
 * Level 3, W3C), so that even a slip in the escaping could do no harm. */
#include "report/page/frame.h"

#include "base/version.h"
#include "report/page/html.h"

static const char *const style[] = { /* rules, one after the other */
	":root{color-scheme:light;--ink:#1f2a24;--soft:#4a524d;--line:#c9d0ca;--paper:#fff;",
	"--wash:#f3f5f1;--s0:#3f6b4f;--s1:#c9a227;--s2:#a8532f;--s3:#5b6b7d}",
	"*{box-sizing:border-box}",
	"body{margin:0;color:var(--ink);background:var(--paper);",
	"font:16px/1.5 system-ui,-apple-system,\"Segoe UI\",Roboto,\"Liberation Sans\",sans-serif}",
	"header,main,footer{max-width:62rem;margin:0 auto;padding:0 1rem}",
	"h1{font-size:1.7rem;line-height:1.2;margin:1.2rem 0 .2rem}",
	"h2{font-size:1.3rem;margin:2.4rem 0 .6rem;padding-top:.5rem;border-top:2px solid var(--s0)}",
	"h3{font-size:1.1rem;margin:0 0 .5rem}",
	"p{margin:.4rem 0 .8rem;max-width:46rem}",
	"nav ul{list-style:none;display:flex;flex-wrap:wrap;gap:.25rem .5rem;padding:0;margin:.8rem 0}",
	"nav a{display:inline-block;padding:.3rem .6rem;border:1px solid var(--line);",
	"border-radius:.3rem;color:var(--ink);text-decoration:none}",
	"a:focus-visible,input:focus-visible{outline:3px solid var(--s2);outline-offset:2px}",
	".skip{position:absolute;left:-99rem}.skip:focus{left:1rem;top:1rem;background:#fff;padding:.5rem}",
	"table{border-collapse:collapse;margin:.4rem 0 1.6rem;font-variant-numeric:tabular-nums}",
	"caption{text-align:left;font-weight:600;padding:.3rem 0;color:var(--ink)}",
	".unit{font-weight:400;color:var(--soft)}",
	"th,td{padding:.22rem .7rem .22rem 0;text-align:left;vertical-align:top;font-weight:400}",
	"thead th{vertical-align:bottom;color:var(--soft);font-size:.9rem}",
	"thead tr{border-bottom:1px solid var(--ink)}",
	"tbody tr+tr{border-top:1px solid var(--wash)}",
	".n{text-align:right}td.n,.d,[data-h=tried]{white-space:nowrap}.i1{padding-left:1rem}.i2{padding-left:2rem}.i3,.i4{padding-left:3rem}",
	"tr.group th{font-weight:600;padding-top:.7rem}",
	"tr.sum,tr.rule{border-top:1px solid var(--ink)}tr.sum th,tr.sum td{font-weight:600}",
	".upright th[scope=col]{font-weight:600}",
	".facts{display:grid;grid-template-columns:repeat(auto-fit,minmax(15rem,1fr));gap:.7rem;margin:1rem 0}",
	".facts div{background:var(--wash);border-left:4px solid var(--s0);padding:.5rem .8rem}",
	".facts dt{color:var(--soft);font-size:.9rem}.facts dd{margin:0;font-size:1.15rem}",
	".facts dd small{display:block;font-size:.9rem;color:var(--soft)}",
	".cards{display:grid;grid-template-columns:repeat(auto-fill,minmax(25rem,1fr));gap:1rem}",
	".card{border:1px solid var(--line);border-radius:.4rem;padding:.9rem 1rem;break-inside:avoid}",
	".card table{width:100%;font-size:.92rem;margin-bottom:.8rem}",
	"details.card{padding:.5rem .8rem}summary{cursor:pointer}summary h3{display:inline;margin:0}",
	"summary span{color:var(--soft);padding-left:.6rem}details.list{margin:.4rem 0 1.6rem}",
	"details.list summary{font-weight:600;padding:.3rem 0}summary:focus-visible,button:focus-visible",
	"{outline:3px solid var(--s2);outline-offset:2px}",
	"button{font:inherit;padding:.35rem .7rem;border:1px solid var(--soft);border-radius:.3rem;",
	"background:var(--wash);color:var(--ink)}",
	".chart{margin:.6rem 0 1.6rem;max-width:35rem}.chart svg{display:block;width:100%;height:auto}",
	".chart figcaption{font-weight:600;padding-bottom:.4rem}",
	"svg text{font-size:12.5px;fill:var(--ink)}",
	".s0{fill:var(--s0)}.s1{fill:var(--s1)}.s2{fill:var(--s2)}.s3{fill:var(--s3)}",
	".grid{stroke:var(--line);stroke-width:1}.wide{stroke:var(--s3);stroke-width:2}",
	".narrow{stroke:var(--s0);stroke-width:7}.mark{stroke:var(--s2);stroke-width:2}",
	".dot{fill:var(--ink)}",
	".supposed{border-left:4px solid var(--s2);padding-left:.8rem}",
	".find{margin:.8rem 0}.find input{font:inherit;padding:.35rem .5rem;width:100%;max-width:22rem;",
	"border:1px solid var(--soft);border-radius:.3rem}.find label{display:block}",
	"input[type=checkbox]{width:1.15rem;height:1.15rem;margin:.15rem 0}",
	"ul.notes{padding-left:1.2rem}.notes li{margin:.35rem 0;max-width:46rem}",
	".notes small{display:block;color:var(--soft)}",
	"footer{margin:2.5rem auto 2rem;color:var(--soft);font-size:.9rem}",
	"[hidden]{display:none!important}",
	"@media (max-width:40rem){",
	".cards{grid-template-columns:1fr}",
	"table:not(.upright),table:not(.upright) caption,table:not(.upright) tbody,",
	"table:not(.upright) tr,table:not(.upright) th,table:not(.upright) td{display:block;width:100%}",
	"table:not(.upright) thead{position:absolute;left:-99rem}",
	"table:not(.upright) tbody tr{padding:.45rem 0;border-top:1px solid var(--line)}",
	"table:not(.upright) tbody th{font-weight:600}",
	"table:not(.upright) td{display:inline-block;width:auto;text-align:left;"
	"padding:.05rem .9rem .05rem 0}",
	"table:not(.upright) td[data-h]::before{content:attr(data-h) \" \";color:var(--soft);"
	"font-size:.88em}",
	"table:not(.upright) td[data-h]:empty{display:none}",
	".upright{font-size:.85rem}.upright th,.upright td{padding-right:.5rem;overflow-wrap:anywhere}",
	"}",
	"@media print{",
	"@page{margin:14mm}",
	"body{font-size:10.5pt}nav,.find,.skip{display:none}",
	"header,main,footer{max-width:none;padding:0}",
	"#cards,#shed,#mix,#pull{break-before:page}",
	"th,td{padding-top:.06rem;padding-bottom:.06rem}.card{padding:.5rem .8rem}",
	".card table{margin:.2rem 0 .4rem;font-size:8pt;line-height:1.25}.chart svg{width:110mm}",
	".both{display:flex;flex-wrap:wrap;column-gap:6mm;align-items:flex-start}.both table{flex:1 1 68mm;width:auto}.both .upright{flex:0 0 auto;width:min-content}.both .upright th[scope=row]{white-space:nowrap}",
	"details.card:not([open]){display:none}details.list:not([open])>summary::after{content:\" (folded)\"}",
	"h2{border-top:0;margin-top:0}h2,h3,caption,thead,figcaption,tr.group{break-after:avoid}",
	"tr,.card,svg,.facts div,tbody:has(.group){break-inside:avoid}",
	".chart{break-inside:auto}figcaption+svg{break-before:avoid}",
	".notes li{break-inside:avoid}.notes li:nth-last-child(-n+4),footer{break-before:avoid}footer{margin:6mm 0 0}",
	"thead{display:table-header-group}",
	".cards{display:block}.card{margin:0 0 6mm}",
	"*{print-color-adjust:exact;-webkit-print-color-adjust:exact}",
	"}",
};

/* Shows only cards and rows that hold all words typed in, opens the lists they stand in, and on
 * demand the cards; its hash stands in the policy. */
static const char script[] =
    "document.querySelectorAll('.find').forEach(function(f){"
    "f.hidden=false;"
    "var box=f.querySelector('input'),said=f.querySelector('output'),"
    "all=f.querySelector('button'),area=f.parentNode,"
    "cards=area.querySelectorAll('.card'),"
    "parts=cards.length?cards:area.querySelectorAll('tbody tr:not(.group)');"
    "box.addEventListener('input',function(){"
    "var words=box.value.toLowerCase().split(/\\s+/).filter(Boolean),shown=0;"
    "parts.forEach(function(p){"
    "var text=p.textContent.toLowerCase(),"
    "on=words.every(function(w){return text.indexOf(w)>=0});"
    "p.hidden=!on;if(on)shown++});"
    "area.querySelectorAll('details.list').forEach(function(d){d.open=words.length>0});"
    "said.textContent=words.length?shown+' of '+parts.length+' shown':''});"
    "if(all)all.addEventListener('click',function(){"
    "var on=!all.on;all.on=on;"
    "all.textContent=on?'Fold all of these':'Open all of these';"
    "parts.forEach(function(p){if(!p.hidden)p.open=on})})});";
#define SCRIPT_HASH "sha256-KMrD7gUKSRlfp0L5lrA7LkBChyxxZX6ZVqSHoxcHG0c="

void frame_open(struct buf *out, struct str farm, day on, const struct frame_link *links, size_t n)
{
	char date[11];
	date_print(on, date);
	buf_text(out, "<!DOCTYPE html>\n<html lang=\"en\">\n<head>\n<meta charset=\"utf-8\">\n"
		      "<meta http-equiv=\"Content-Security-Policy\" content=\"default-src 'none'; "
		      "style-src 'unsafe-inline'; script-src '" SCRIPT_HASH
		      "'; base-uri 'none'; form-action 'none'\">\n"
		      "<meta name=\"viewport\" content=\"width=device-width, initial-scale=1\">\n"
		      "<title>");
	html_text(out, farm);
	buf_printf(out, " - %s</title>\n<style>\n", date);
	for (size_t i = 0; i < sizeof style / sizeof style[0]; i++)
		buf_text(out, style[i]);
	buf_text(out, "\n</style>\n</head>\n<body>\n"
		      "<a class=\"skip\" href=\"#first\">Skip to the figures</a>\n<header>\n");
	html_line(out, "h1", "", farm);
	buf_printf(out, "<p>As on %s.</p>\n<nav aria-label=\"Parts of this page\"><ul>\n", date);
	for (size_t i = 0; i < n; i++)
		buf_printf(out, "<li><a href=\"#%s\">%s</a></li>\n", links[i].id, links[i].title);
	buf_text(out, "</ul></nav>\n</header>\n<main id=\"first\">\n");
}

void frame_close(struct buf *out)
{
	buf_text(out, "</main>\n<footer><p>Made by thrave " THRAVE_VERSION
		      " from the farm's own files. Arithmetic on the figures given, not advice on "
		      "safety, wages, tax or law.</p></footer>\n<script>");
	buf_text(out, script);
	buf_text(out, "</script>\n</body>\n</html>\n");
}
