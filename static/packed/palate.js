import{K as a,H as e,L as t,ae as n,y as s,I as l,ap as i,U as o,N as r,a7 as c,av as $,ad as p,ah as u,au as h,ac as d,as as g}from"./first.js";import{p as m}from"./sync.js";import{b as f,a as b,h as _,j as w,s as y,k,m as v,n as x,o as M,t as C,p as N,q as j}from"./rooms.js";function L({items:t,few:n,row:s,more:l,fewer:i,ordered:o=!1}){const[r,c]=a(!1),$=(r?t:t.slice(0,n)).map(s);return e`${o?e`<ol class="ruled">${$}</ol>`:e`<ul class="ruled">${$}</ul>`}
    ${t.length>n&&e`<button type="button" class="button plain first-few" aria-expanded=${r} onClick=${()=>c(!r)}>${r?i:l}</button>`}`}const S="50%";function O({name:a,note:t,figure:n,min:s,max:l,tick:i,low:o,high:r,mark:c,filled:$,said:p,onOpen:u}){return e`<li class="interval-row"><button type="button" onClick=${u} aria-label=${p}>
    <span class="interval-name"><span class="name">${a}</span>${t&&e`<span class="soft small">${t}</span>`}</span>
    <span class="figure">${n}</span>
    <${q} min=${s} max=${l} tick=${i} low=${o} high=${r} mark=${c} filled=${$} />
  </button></li>`}function q({min:a,max:t,tick:n,low:s,high:l,mark:i,filled:o}){const r=e=>(Math.min(t,Math.max(a,e))-a)/(t-a)*100+"%";return e`<svg class="dot-interval" aria-hidden="true">
    <line class="ruled-line" x1="0" x2="100%" y1=${S} y2=${S} />
    ${void 0!==n&&e`<line class="tick" x1=${r(n)} x2=${r(n)} y1="0" y2="100%" />`}
    <line class="band" x1=${r(s)} x2=${r(l)} y1=${S} y2=${S} />
    <circle class=${o?"dot filled":"dot"} cx=${r(i)} cy=${S} r=${o?6:5} />
  </svg>`}const F="50%";function H({min:a,max:t,values:n}){const s=e=>(e-a)/(t-a)*100+"%",l=n.map((a,e)=>({value:a,radius:5+3*n.slice(0,e).filter(e=>e===a).length}));return e`<svg class="dot-interval" aria-hidden="true">
    <line class="ruled-line" x1="0" x2="100%" y1=${F} y2=${F} />
    <line class="band" x1=${s(Math.min(...n))} x2=${s(Math.max(...n))} y1=${F} y2=${F} />
    ${l.reverse().map(({value:a,radius:t})=>e`<circle class="dot" cx=${s(a)} cy=${F} r=${t} />`)}
  </svg>`}function I({min:a,max:t,before:n,now:s}){const l=e=>(Math.min(t,Math.max(a,e))-a)/(t-a)*100+"%",i=(a,t,n)=>e`<line class=${n} x1=${l(a.low)} x2=${l(a.high)} y1=${t} y2=${t} />`;return e`<svg class="shift-line" aria-hidden="true">
    <line class="ruled-line" x1="0" x2="100%" y1=${20} y2=${20} />
    ${i(n,13,"band-before")}
    <circle class="dot" cx=${l(n.mark)} cy=${13} r=${5} />
    ${i(s,27,"band")}
    <circle class="dot filled" cx=${l(s.mark)} cy=${27} r=${6} />
  </svg>`}function R({min:a,max:t,low:n,high:s,mark:l,open:i,dots:o=[],said:r}){const c=e=>(Math.min(t,Math.max(a,e))-a)/(t-a)*100+"%",$=A(n)&&A(s);return e`<svg class="dots-line" role=${r?"img":void 0} aria-label=${r} aria-hidden=${r?void 0:"true"}>
    ${Z(o,a,t).map(a=>e`<circle class=${a.filled?"dot filled":"dot"} cx=${c(a.x)} cy=${42-36*a.height} r=${a.radius} />`)}
    <line class="ruled-line" x1="0" x2="100%" y1=${58} y2=${58} />
    ${$&&e`<line class="band" x1=${c(n)} x2=${c(s)} y1=${58} y2=${58} />
      ${[n,s].map(a=>e`<line class="bracket" x1=${c(a)} x2=${c(a)} y1=${45} y2=${71} />`)}`}
    ${A(l)&&e`<circle class="target-bead" cx=${c(l)} cy=${58} r=${7} />`}
    ${i&&e`<${T} end=${i} />`}
  </svg>`}function T({end:a}){return e`<svg class="arrow" x=${"high"===a?"100%":"0"} y=${51} width=${14} height=${14} overflow="visible">
    <path d=${"high"===a?"M0 0L14 7L0 14Z":"M14 0L0 7L14 14Z"} transform=${"high"===a?"translate(-14 0)":void 0} /></svg>`}function Z(a,e,t){const n=new Map;for(const s of a){const a=Math.round((s.x-e)/(t-e)*50),l=`${a} ${s.height}`,i=n.get(l);i?i.count+=1:n.set(l,{...s,x:e+a/50*(t-e),count:1})}return[...n.values()].map(a=>({...a,radius:Math.min(8,3*Math.sqrt(1+Math.log2(a.count)))}))}function A(a){return"number"==typeof a&&Number.isFinite(a)}const B=s(null);function E(a){B.value=a}function K(){const a=B.value;return t(()=>()=>{B.value=null},[]),e`<${n} title=${a?.title??""} open=${null!==a} onClose=${()=>{B.value=null}}>
    ${a&&e`<${P} key=${a.title} evidence=${a} />`}
  <//>`}function P({evidence:{sentences:n,tastings:s,column:r}}){const[c,$]=a(30),[p,u]=a(null);return t(()=>{let a=!1;return async function(a){const e=(await Promise.all(a.map(i))).filter(a=>void 0!==a);return{tastings:new Map(e.map(a=>[a.id,a])),bottles:await o(e.map(a=>a.fields.bottle))}}(s.slice(0,c).map(({id:a})=>a)).then(e=>{a||u(e)}),()=>{a=!0}},[s,c]),e`${n.map(a=>e`<p class="evidence-said">${a}</p>`)}
    <h3>${s.length?l("palate.evidence_n",{count:s.length}):l("palate.evidence_none")}</h3>
    ${p&&s.length>0&&e`<table class="evidence">
      <thead><tr><th scope="col">${l("palate.evidence_wine")}</th>${r&&e`<th scope="col" class="figure">${r}</th>`}<th scope="col" class="figure">${l("palate.evidence_liking")}</th></tr></thead>
      <tbody>${s.slice(0,c).map(({id:a,figure:t})=>e`<${Q} key=${a} id=${a} figure=${r?t??"":void 0} found=${p} />`)}</tbody>
    </table>`}
    ${s.length>c&&e`<button type="button" class="button plain" onClick=${()=>$(c+30)}>${l("palate.evidence_more")}</button>`}`}function Q({id:a,figure:t,found:n}){const s=n.tastings.get(a),i=s?.fields.tasted_at;return e`<tr>
    <th scope="row"><a href=${`#/book/${a}`}><span class="name">${s?f(b(n.bottles,s.fields.bottle)):l("palate.evidence_gone")}</span>
      ${i&&e`<span class="soft small">${r(i)}</span>`}</a></th>
    ${void 0!==t&&e`<td class="figure">${t}</td>`}
    <td class="figure">${s?.fields.liking??"–"}</td>
  </tr>`}const U={min:5,max:20};function z({alcohol:a}){const t=function({known:a,low_abv:e,high_abv:t,low_between_abv:n,high_between_abv:s}){if(!a)return l("palate.alcohol_unknown");const i=(n[1]-n[0]+s[1]-s[0])/2,o={low:c(e),high:c(t),sure:y(0,i,U.max-U.min)};return l(e<=U.min+.05?"palate.alcohol_up_to":t>=U.max-.05?"palate.alcohol_from":"palate.alcohol_range",o)}(a),{known:n,low_abv:s,high_abv:i,best_abv:o,dots:r}=a;return e`<section class="palate-part" aria-labelledby="palate-alcohol">
    <h2 id="palate-alcohol">${l("palate.alcohol")}</h2>
    <button type="button" class="target-button" onClick=${()=>function({known:a,best_abv:e,low_between_abv:t,high_between_abv:n,dots:s},i){const o=[t,n].map(([a,e])=>l("palate.between",{low:c(a),high:c(e)}));E({title:l("palate.alcohol"),sentences:a?[i,l("palate.alcohol_numbers",{best:c(e),low:String(o[0]),high:String(o[1])})]:[i],column:l("palate.alcohol_column"),tastings:s.map(({tasting:a,x:e})=>({id:a,figure:c(e)}))})}(a,t)}>
      <${R} ...${U} low=${n?s:null} high=${n?i:null} mark=${n?o:null}
        dots=${r.map(({x:a,liking:e})=>({x:a,height:w(e),filled:_(e)}))} />
      <span class="scale-ends figure" aria-hidden="true"><span>${c(U.min)}</span><span>${c(U.max)}</span></span>
      <span class="target-said voice">${t}</span>
    </button>
  </section>`}const D={min:0,max:10},G={min:1,max:9};function J({changes:a}){const t="compared"===a.level&&null!==a.liking;return e`<section class="palate-part" aria-labelledby="palate-changes">
    <h2 id="palate-changes">${l("palate.changes")}</h2>
    ${t?e`<${V} changes=${a} />`:e`<p class="soft">${l("palate.changes_none",{before:a.n_before,now:a.n_now})}</p>`}
  </section>`}function V({changes:a}){const t=a.attributes.filter(W),n=t.filter(({level:a})=>"clear"===a),s=t.filter(({level:a})=>"clear"!==a).map(({attribute:a})=>l(`palate.of.${a}`));return e`<p class="soft small">${l("palate.changes_legend",{since:r(a.since),before:a.n_before,now:a.n_now})}</p>
    <ul class="ruled">
      <${X} changes=${a} />
      ${n.map(t=>e`<${Y} key=${t.attribute} entry=${t} changes=${a} />`)}
    </ul>
    ${s.length>0&&e`<p class="after-list">${l("palate.changes_still",{names:$(s)})}</p>`}`}function W({before:a,now:e}){return null!==a.target&&null!==e.target}function X({changes:a}){const{before:t,now:n,shift:s,sd:i,level:o}=a.liking,r=1.2816*i/Math.SQRT2,c=a=>({mark:a,low:a-r,high:a+r}),$=l(`palate.changes_liking_${o}`,{before:p(t),now:p(n),shift:p(Math.abs(s))});return e`<${aa} name=${l("palate.changes_liking")} figure=${k(s)} said=${$} line=${G} before=${c(t)} now=${c(n)} changes=${a} />`}function Y({entry:{attribute:a,before:t,now:n},changes:s}){const[i,o]=[Number(t.target),Number(n.target)],r=l(o>i?"palate.changes_more":"palate.changes_less",{name:l(`palate.of.${a}`),before:p(i),now:p(o)});return e`<${aa} name=${l(`scale.${a}`)} figure=${k(o-i)} said=${r} line=${D}
    before=${{...t,mark:i}} now=${{...n,mark:o}} changes=${s} />`}function aa({name:a,figure:t,said:n,line:s,before:i,now:o,changes:c}){return e`<li><button type="button" class="target-button" onClick=${()=>E({title:a,sentences:[n,l("palate.changes_tastings",{since:r(c.since)})],tastings:c.tastings.map(a=>({id:a}))})}>
    <span class="target-head"><span class="name">${a}</span><span class="figure">${t}</span></span>
    <${I} ...${s} before=${i} now=${o} />
    <span class="target-said voice">${n}</span>
  </button></li>`}const ea={min:1,max:9},ta=1.2816;function na({styles:a}){const t=[...a].sort((a,e)=>e.mean-a.mean),n=[["palate.styles_liked",t.filter(({mean:a})=>_(a))],["palate.styles_between",t.filter(({mean:a})=>!_(a)&&a>=5)],["palate.styles_disliked",t.filter(({mean:a})=>a<5).reverse()]];return e`<section class="palate-part" aria-labelledby="palate-styles">
    <h2 id="palate-styles">${l("palate.styles")}</h2>
    <p class="soft small">${l(a.length?"palate.styles_legend":"palate.styles_none")}</p>
    ${n.map(([a,t])=>t.length>0&&e`<${sa} key=${a} title=${l(a)} rows=${t} />`)}
  </section>`}function sa({title:a,rows:t}){return e`<h3>${a}</h3>
    <${L} items=${t} few=${5} row=${a=>e`<${la} key=${a.style} row=${a} />`}
      more=${l("palate.show_all",{count:t.length})} fewer=${l("palate.show_fewer")} />`}function la({row:{style:a,n:t,mean:n,sd:s,tastings:i}}){const o=u(a),[r,c]=ia(n,s),$=l("palate.n_tastings",{count:t}),h=l("palate.style_said",{name:o,liking:p(n),low:p(r),high:p(c),n:$});return e`<${O} name=${o} note=${$} figure=${v(n)} ...${ea} tick=${5} low=${r} high=${c} mark=${n} filled=${_(n)} said=${h} onOpen=${()=>E({title:o,sentences:[h],tastings:i.map(a=>({id:a}))})} />`}function ia(a,e){return[Math.max(ea.min,a-ta*e),Math.min(ea.max,a+ta*e)]}const oa={min:1,max:9},ra=["close","stretch","teaches"];function ca({next:a,styles:t}){const n=new Map(t.map(a=>[a.style,a]));return e`<section class="palate-part" aria-labelledby="palate-next">
    <h2 id="palate-next">${l("palate.next")}</h2>
    ${ra.map(t=>e`<h3>${l(`palate.next_${t}`)}</h3>
      <p class="soft small">${l(a[t].length?`palate.next_${t}_note`:"palate.next_none")}</p>
      <${L} ordered items=${a[t]} few=${3} more=${l("palate.show_all",{count:a[t].length})} fewer=${l("palate.show_fewer")}
        row=${a=>e`<${pa} key=${a.style} entry=${a} tasted=${n.get(a.style)} />`} />`)}
  </section>`}function $a({entries:a}){return e`<section class="palate-part" aria-labelledby="palate-begin">
    <h2 id="palate-begin">${l("palate.next_begin")}</h2>
    <p class="soft small">${l("palate.next_begin_note")}</p>
    <ol class="ruled">${a.map(({style:a})=>e`<li class="begin-entry" key=${a}><span class="name">${u(a)}</span></li>`)}</ol>
  </section>`}function pa({entry:a,tasted:t}){const{style:n,mean:s,sd:i,p_like:o,reasons:r}=a,[c,$]=ia(s,i),d=t?l("palate.n_tastings",{count:t.n}):l("palate.never_tasted");return e`<li class="next-entry"><button type="button" onClick=${()=>function({style:a,mean:e,sd:t,p_like:n,reasons:s},i){const[o,r]=ia(e,t);E({title:u(a),sentences:[l("palate.next_numbers",{liking:p(e),low:p(o),high:p(r),share:h(n)}),...s.map(a=>l("palate.reason_points",{reason:M(a),points:k(a.effect)}))],tastings:(i?.tastings??[]).map(a=>({id:a}))})}(a,t)}>
    <span class="next-head"><span class="name">${u(n)}</span><span class="figure">${v(s)}</span></span>
    <${q} ...${oa} tick=${5} low=${c} high=${$} mark=${s} filled=${_(s)} />
    <span class="small">${l("palate.chance",{share:h(o)})}<span class="soft"> \u00b7 ${d}</span></span>
    ${x(r).map(a=>e`<span class="voice">${a}</span>`)}
  </button></li>`}const ua={min:1,max:9},ha=1.2816,da={warmth:3,guess_abv:3,guess_age_years:10};function ga({repeatability:a}){const{within_sd:t,limit:n,ceiling:s,bottles:i,level:o}=a,r=null!==t&&null!==n;return e`<section class="palate-part" aria-labelledby="palate-steady">
    <h2 id="palate-steady">${l("palate.steady")}</h2>
    ${r?e`<p>${l("palate.steady_said",{sd:p(t),limit:p(n)})} ${"few"===o&&l("palate.steady_few")}</p>
        ${null!==s&&e`<p>${l("palate.steady_ceiling",{ceiling:p(s,2)})}</p>`}
        <${ma} bottles=${i} />`:e`<p class="soft">${l("palate.steady_none")}</p>`}
  </section>`}function ma({bottles:n}){const[s,i]=a(new Map);t(()=>{o(n.map(({bottle:a})=>a)).then(i)},[n]);const r=[...n].sort((a,e)=>ba(e.likings)-ba(a.likings));return e`<${L} items=${r} few=${5} more=${l("palate.show_all",{count:r.length})} fewer=${l("palate.show_fewer")}
    row=${a=>e`<${fa} key=${a.bottle} repeated=${a} name=${f(b(s,a.bottle))} />`} />`}function fa({repeated:{tastings:a,likings:t},name:n}){return e`<li class="interval-row"><button type="button" onClick=${()=>E({title:n,sentences:[l("palate.steady_apart",{points:p(ba(t))})],tastings:a.map(a=>({id:a}))})}>
    <span class="interval-name"><span class="name">${n}</span></span>
    <span class="figure">${t.join(" · ")}</span><${H} ...${ua} values=${t} /></button></li>`}function ba(a){return Math.max(...a)-Math.min(...a)}function _a({calibration:a}){const t=Object.keys(da).filter(e=>null!==a[e].mean);return e`<section class="palate-part" aria-labelledby="palate-calibration">
    <h2 id="palate-calibration">${l("palate.calibration")}</h2>
    <p class="soft small">${l(t.length?"palate.calibration_legend":"palate.calibration_none")}</p>
    <ul class="ruled">${t.map(t=>e`<${wa} key=${t} name=${t} check=${a[t]} />`)}</ul>
    <a class="button plain" href="#/pour/guesses">${l("palate.all_guesses")}</a>
  </section>`}function wa({name:a,check:t}){const n=Number(t.mean),s=ha*(t.sd_of_mean??da[a]),i=ya(a,t),o=Math.max(da[a],Math.ceil(Math.abs(n)+s));return e`<li class="next-entry"><button type="button" onClick=${()=>E({title:l(`palate.check_${a}`),sentences:[i,...null===t.sd?[]:[l("palate.check_spread",{sd:p(t.sd)})]],tastings:t.tastings.map(a=>({id:a}))})}>
    <span class="next-head"><span class="name">${l(`palate.check_${a}`)}</span><span class="figure">${k(n)}</span></span>
    <${q} min=${-o} max=${o} tick=${0} low=${n-s} high=${n+s} mark=${n} filled=${!0} />
    <span class="voice">${i}</span></button></li>`}function ya(a,{mean:e,sd_of_mean:t,level:n,mean_abv:s}){const i=Math.abs(Number(e));return"known"!==n?l(`palate.check_${a}_few`,{points:p(i)}):i<=ha*Number(t)?l(`palate.check_${a}_fits`):l(`palate.check_${a}_${Number(e)>0?"above":"below"}`,{points:p(i),abv:p(Math.abs(s??0))})}const ka={min:0,max:10};function va({targets:a,drawn:t}){const n=[...a].sort((a,e)=>xa(e)-xa(a));return e`<section class="palate-part" aria-labelledby="palate-targets">
    <h2 id="palate-targets">${l("palate.targets")}</h2>
    <p class="soft small">${l("palate.targets_legend")}</p>
    <ul class="ruled">${n.slice(0,t).map(a=>e`<${Ma} key=${a.attribute} target=${a} />`)}</ul>
  </section>`}function xa({shape:a,weight:e}){return"unknown"===a?e-9:e}function Ma({target:a}){const{attribute:t,low:n,high:s,weight:i,shape:o}=a,r=C(a),c="unknown"!==o;return e`<li class="target-entry">
    <button type="button" class="target-button" onClick=${()=>function(a){const{attribute:e,low:t,high:n,weight:s,shape:i,dots:o}=a,r={low:p(t),high:p(n)};E({title:l(`scale.${e}`),sentences:[C(a),"peak"===i?l("palate.target_numbers",{target:p(Number(a.target)),...r}):l("palate.target_numbers_open",r),l("palate.weight_numbers",{name:l(`palate.of.${e}`),points:p(s,1)}),...Ca(a)],column:l(`scale.${e}`),tastings:o.map(({tasting:a,x:e})=>({id:a,figure:p(e)}))})}(a)}>
      <span class="target-head"><span class="name">${l(`scale.${t}`)}</span>
        ${c&&e`<span class="soft small">${N(i)}</span>`}
        <span class="figure">${"peak"===o?v(Number(a.target)):c?"":"–"}</span></span>
      <${R} ...${ka} low=${c?n:null} high=${c?s:null} mark=${"peak"===o?a.target:null}
        open=${"more"===o?"high":"less"===o?"low":null} dots=${function({dots:a}){return a.map(({x:a,liking:e})=>({x:a,height:w(e),filled:_(e)}))}(a)} />
      <span class="scale-ends" aria-hidden="true"><span>${l(`scale.${t}.low`)}</span><span>${l(`scale.${t}.high`)}</span></span>
      <span class="target-said voice">${r}</span>
    </button>
  </li>`}function Ca({marks:a}){const{too_little:e,just_right:t,too_much:n}=a;return e+t+n?[l("palate.marks_numbers",{little:e,right:t,much:n})]:[]}function Na(){const a=m.value;return e`<${d} title=${l("palate.title")}>
    ${a&&0!==a.n_rated?e`<${La} learned=${a} />`:e`<${ja} learned=${a} />`}
    <${K} />
  <//>`}function ja({learned:a}){return e`<div class="empty"><p class="voice">${l("palate.lead_none")}</p>
      ${!a&&e`<p class="soft">${l("palate.not_yet")}</p>`}</div>
    ${a&&e`<${$a} entries=${a.next.teaches} />`}
    <div class="at-thumb"><a class="button primary" href="#/pour">${l("palate.pour")}</a></div>`}function La({learned:a}){const{targets:t,alcohol:n,styles:s,next:l,changes:i,repeatability:o,calibration:r}=a,c=[n&&e`<${z} alcohol=${n} />`,e`<${na} styles=${s} />`,e`<${ca} next=${l} styles=${s} />`,e`<${J} changes=${i} />`,e`<${ga} repeatability=${o} />`,e`<${_a} calibration=${r} />`],$=g(t.length+c.length,2,2);return e`<${Sa} learned=${a} />
    <${va} targets=${t} drawn=${$} />
    ${c.slice(0,Math.max(0,$-t.length))}`}function Sa({learned:{n_rated:a,levels:t,targets:n}}){const s=t.includes("under_five")?"first":t.includes("under_ten")?"young":"grown",{known:i,open:o}=j(n);return e`<p class="palate-lead voice">${[l(`palate.lead_${s}`,{count:a}),...i.length?[l("palate.lead_sure",{names:$(i)})]:[],...o.length&&"first"!==s?[l("palate.lead_unknown",{names:$(o)})]:[]].join(" ")}</p>`}export{z as A,$a as B,J as C,K as E,L as F,ta as H,q as I,ca as N,H as R,I as S,R as T,O as a,na as b,_a as c,ga as d,ya as e,va as f,Z as g,Na as h,ia as l,E as o};