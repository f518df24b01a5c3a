import{l as a,h as e,A as t,aO as n,G as s,j as l,aT as i,y as o,q as r,R as c,ar as $,aq as p,ap as u,bp as h,X as d}from"./first.js";import{p as g}from"./sync.js";import{b as m,a as f,h as b,j as _,s as y,k as w,m as k,n as v,o as x,t as M,p as C,q as N}from"./rooms.js";function j({items:t,few:n,row:s,more:l,fewer:i,ordered:o=!1}){const[r,c]=a(!1),$=(r?t:t.slice(0,n)).map(s);return e`${o?e`<ol class="ruled">${$}</ol>`:e`<ul class="ruled">${$}</ul>`}
    ${t.length>n&&e`<button type="button" class="button plain first-few" aria-expanded=${r} onClick=${()=>c(!r)}>${r?i:l}</button>`}`}const q="50%";function L({name:a,note:t,figure:n,min:s,max:l,tick:i,low:o,high:r,mark:c,filled:$,said:p,onOpen:u}){return e`<li class="interval-row"><button type="button" onClick=${u} aria-label=${p}>
    <span class="interval-name"><span class="name">${a}</span>${t&&e`<span class="soft small">${t}</span>`}</span>
    <span class="figure">${n}</span>
    <${O} min=${s} max=${l} tick=${i} low=${o} high=${r} mark=${c} filled=${$} />
  </button></li>`}function O({min:a,max:t,tick:n,low:s,high:l,mark:i,filled:o}){const r=e=>(Math.min(t,Math.max(a,e))-a)/(t-a)*100+"%";return e`<svg class="dot-interval" aria-hidden="true">
    <line class="ruled-line" x1="0" x2="100%" y1=${q} y2=${q} />
    ${void 0!==n&&e`<line class="tick" x1=${r(n)} x2=${r(n)} y1="0" y2="100%" />`}
    <line class="band" x1=${r(s)} x2=${r(l)} y1=${q} y2=${q} />
    <circle class=${o?"dot filled":"dot"} cx=${r(i)} cy=${q} r=${o?6:5} />
  </svg>`}const S="50%";function R({min:a,max:t,values:n}){const s=e=>(e-a)/(t-a)*100+"%",l=n.map((a,e)=>({value:a,radius:5+3*n.slice(0,e).filter(e=>e===a).length}));return e`<svg class="dot-interval" aria-hidden="true">
    <line class="ruled-line" x1="0" x2="100%" y1=${S} y2=${S} />
    <line class="band" x1=${s(Math.min(...n))} x2=${s(Math.max(...n))} y1=${S} y2=${S} />
    ${l.reverse().map(({value:a,radius:t})=>e`<circle class="dot" cx=${s(a)} cy=${S} r=${t} />`)}
  </svg>`}function T({min:a,max:t,before:n,now:s}){const l=e=>(Math.min(t,Math.max(a,e))-a)/(t-a)*100+"%",i=(a,t,n)=>e`<line class=${n} x1=${l(a.low)} x2=${l(a.high)} y1=${t} y2=${t} />`;return e`<svg class="shift-line" aria-hidden="true">
    <line class="ruled-line" x1="0" x2="100%" y1=${20} y2=${20} />
    ${i(n,13,"band-before")}
    <circle class="dot" cx=${l(n.mark)} cy=${13} r=${5} />
    ${i(s,27,"band")}
    <circle class="dot filled" cx=${l(s.mark)} cy=${27} r=${6} />
  </svg>`}function F({min:a,max:t,low:n,high:s,mark:l,open:i,dots:o=[],said:r}){const c=e=>(Math.min(t,Math.max(a,e))-a)/(t-a)*100+"%",$=B(n)&&B(s);return e`<svg class="dots-line" role=${r?"img":void 0} aria-label=${r} aria-hidden=${r?void 0:"true"}>
    ${A(o,a,t).map(a=>e`<circle class=${a.filled?"dot filled":"dot"} cx=${c(a.x)} cy=${42-36*a.height} r=${a.radius} />`)}
    <line class="ruled-line" x1="0" x2="100%" y1=${58} y2=${58} />
    ${$&&e`<line class="band" x1=${c(n)} x2=${c(s)} y1=${58} y2=${58} />
      ${[n,s].map(a=>e`<line class="bracket" x1=${c(a)} x2=${c(a)} y1=${45} y2=${71} />`)}`}
    ${B(l)&&e`<circle class="target-bead" cx=${c(l)} cy=${58} r=${7} />`}
    ${i&&e`<${Z} end=${i} />`}
  </svg>`}function Z({end:a}){return e`<svg class="arrow" x=${"high"===a?"100%":"0"} y=${51} width=${14} height=${14} overflow="visible">
    <path d=${"high"===a?"M0 0L14 7L0 14Z":"M14 0L0 7L14 14Z"} transform=${"high"===a?"translate(-14 0)":void 0} /></svg>`}function A(a,e,t){const n=new Map;for(const s of a){const a=Math.round((s.x-e)/(t-e)*50),l=`${a} ${s.height}`,i=n.get(l);i?i.count+=1:n.set(l,{...s,x:e+a/50*(t-e),count:1})}return[...n.values()].map(a=>({...a,radius:Math.min(8,3*Math.sqrt(1+Math.log2(a.count)))}))}function B(a){return"number"==typeof a&&Number.isFinite(a)}const E=s(null);function G(a){E.value=a}function H(){const a=E.value;return t(()=>()=>{E.value=null},[]),e`<${n} title=${a?.title??""} open=${null!==a} onClose=${()=>{E.value=null}}>
    ${a&&e`<${I} key=${a.title} evidence=${a} />`}
  <//>`}function I({evidence:{sentences:n,tastings:s,column:r}}){const[c,$]=a(30),[p,u]=a(null);return t(()=>{let a=!1;return async function(a){const e=(await Promise.all(a.map(i))).filter(a=>void 0!==a);return{tastings:new Map(e.map(a=>[a.id,a])),bottles:await o(e.map(a=>a.fields.bottle))}}(s.slice(0,c).map(({id:a})=>a)).then(e=>{a||u(e)}),()=>{a=!0}},[s,c]),e`${n.map(a=>e`<p class="evidence-said">${a}</p>`)}
    <h3>${s.length?l("palate.evidence_n",{count:s.length}):l("palate.evidence_none")}</h3>
    ${p&&s.length>0&&e`<table class="evidence">
      <thead><tr><th scope="col">${l("palate.evidence_wine")}</th>${r&&e`<th scope="col" class="figure">${r}</th>`}<th scope="col" class="figure">${l("palate.evidence_liking")}</th></tr></thead>
      <tbody>${s.slice(0,c).map(({id:a,figure:t})=>e`<${P} key=${a} id=${a} figure=${r?t??"":void 0} found=${p} />`)}</tbody>
    </table>`}
    ${s.length>c&&e`<button type="button" class="button plain" onClick=${()=>$(c+30)}>${l("palate.evidence_more")}</button>`}`}function P({id:a,figure:t,found:n}){const s=n.tastings.get(a),i=s?.fields.tasted_at;return e`<tr>
    <th scope="row"><a href=${`#/book/${a}`}><span class="name">${s?m(f(n.bottles,s.fields.bottle)):l("palate.evidence_gone")}</span>
      ${i&&e`<span class="soft small">${r(i)}</span>`}</a></th>
    ${void 0!==t&&e`<td class="figure">${t}</td>`}
    <td class="figure">${s?.fields.liking??"–"}</td>
  </tr>`}const Q={min:5,max:20};function X({alcohol:a}){const t=function({known:a,low_abv:e,high_abv:t,low_between_abv:n,high_between_abv:s}){if(!a)return l("palate.alcohol_unknown");const i=(n[1]-n[0]+s[1]-s[0])/2,o={low:c(e),high:c(t),sure:y(0,i,Q.max-Q.min)};return l(e<=Q.min+.05?"palate.alcohol_up_to":t>=Q.max-.05?"palate.alcohol_from":"palate.alcohol_range",o)}(a),{known:n,low_abv:s,high_abv:i,best_abv:o,dots:r}=a;return e`<section class="palate-part" aria-labelledby="palate-alcohol">
    <h2 id="palate-alcohol">${l("palate.alcohol")}</h2>
    <button type="button" class="target-button" onClick=${()=>function({known:a,best_abv:e,low_between_abv:t,high_between_abv:n,dots:s},i){const o=[t,n].map(([a,e])=>l("palate.between",{low:c(a),high:c(e)}));G({title:l("palate.alcohol"),sentences:a?[i,l("palate.alcohol_numbers",{best:c(e),low:String(o[0]),high:String(o[1])})]:[i],column:l("palate.alcohol_column"),tastings:s.map(({tasting:a,x:e})=>({id:a,figure:c(e)}))})}(a,t)}>
      <${F} ...${Q} low=${n?s:null} high=${n?i:null} mark=${n?o:null}
        dots=${r.map(({x:a,liking:e})=>({x:a,height:_(e),filled:b(e)}))} />
      <span class="scale-ends figure" aria-hidden="true"><span>${c(Q.min)}</span><span>${c(Q.max)}</span></span>
      <span class="target-said voice">${t}</span>
    </button>
  </section>`}const z={min:0,max:10},D={min:1,max:9};function J({changes:a}){const t="compared"===a.level&&null!==a.liking;return e`<section class="palate-part" aria-labelledby="palate-changes">
    <h2 id="palate-changes">${l("palate.changes")}</h2>
    ${t?e`<${K} changes=${a} />`:e`<p class="soft">${l("palate.changes_none",{before:a.n_before,now:a.n_now})}</p>`}
  </section>`}function K({changes:a}){const t=a.attributes.filter(U),n=t.filter(({level:a})=>"clear"===a),s=t.filter(({level:a})=>"clear"!==a).map(({attribute:a})=>l(`palate.of.${a}`));return e`<p class="soft small">${l("palate.changes_legend",{since:r(a.since),before:a.n_before,now:a.n_now})}</p>
    <ul class="ruled">
      <${V} changes=${a} />
      ${n.map(t=>e`<${W} key=${t.attribute} entry=${t} changes=${a} />`)}
    </ul>
    ${s.length>0&&e`<p class="after-list">${l("palate.changes_still",{names:$(s)})}</p>`}`}function U({before:a,now:e}){return null!==a.target&&null!==e.target}function V({changes:a}){const{before:t,now:n,shift:s,sd:i,level:o}=a.liking,r=1.2816*i/Math.SQRT2,c=a=>({mark:a,low:a-r,high:a+r}),$=l(`palate.changes_liking_${o}`,{before:p(t),now:p(n),shift:p(Math.abs(s))});return e`<${Y} name=${l("palate.changes_liking")} figure=${w(s)} said=${$} line=${D} before=${c(t)} now=${c(n)} changes=${a} />`}function W({entry:{attribute:a,before:t,now:n},changes:s}){const[i,o]=[Number(t.target),Number(n.target)],r=l(o>i?"palate.changes_more":"palate.changes_less",{name:l(`palate.of.${a}`),before:p(i),now:p(o)});return e`<${Y} name=${l(`scale.${a}`)} figure=${w(o-i)} said=${r} line=${z}
    before=${{...t,mark:i}} now=${{...n,mark:o}} changes=${s} />`}function Y({name:a,figure:t,said:n,line:s,before:i,now:o,changes:c}){return e`<li><button type="button" class="target-button" onClick=${()=>G({title:a,sentences:[n,l("palate.changes_tastings",{since:r(c.since)})],tastings:c.tastings.map(a=>({id:a}))})}>
    <span class="target-head"><span class="name">${a}</span><span class="figure">${t}</span></span>
    <${T} ...${s} before=${i} now=${o} />
    <span class="target-said voice">${n}</span>
  </button></li>`}const aa={min:1,max:9},ea=1.2816;function ta({styles:a}){const t=[...a].sort((a,e)=>e.mean-a.mean),n=[["palate.styles_liked",t.filter(({mean:a})=>b(a))],["palate.styles_between",t.filter(({mean:a})=>!b(a)&&a>=5)],["palate.styles_disliked",t.filter(({mean:a})=>a<5).reverse()]];return e`<section class="palate-part" aria-labelledby="palate-styles">
    <h2 id="palate-styles">${l("palate.styles")}</h2>
    <p class="soft small">${l(a.length?"palate.styles_legend":"palate.styles_none")}</p>
    ${n.map(([a,t])=>t.length>0&&e`<${na} key=${a} title=${l(a)} rows=${t} />`)}
  </section>`}function na({title:a,rows:t}){return e`<h3>${a}</h3>
    <${j} items=${t} few=${5} row=${a=>e`<${sa} key=${a.style} row=${a} />`}
      more=${l("palate.show_all",{count:t.length})} fewer=${l("palate.show_fewer")} />`}function sa({row:{style:a,n:t,mean:n,sd:s,tastings:i}}){const o=u(a),[r,c]=la(n,s),$=l("palate.n_tastings",{count:t}),h=l("palate.style_said",{name:o,liking:p(n),low:p(r),high:p(c),n:$});return e`<${L} name=${o} note=${$} figure=${k(n)} ...${aa} tick=${5} low=${r} high=${c} mark=${n} filled=${b(n)} said=${h} onOpen=${()=>G({title:o,sentences:[h],tastings:i.map(a=>({id:a}))})} />`}function la(a,e){return[Math.max(aa.min,a-ea*e),Math.min(aa.max,a+ea*e)]}const ia={min:1,max:9},oa=["close","stretch","teaches"];function ra({next:a,styles:t}){const n=new Map(t.map(a=>[a.style,a]));return e`<section class="palate-part" aria-labelledby="palate-next">
    <h2 id="palate-next">${l("palate.next")}</h2>
    ${oa.map(t=>e`<h3>${l(`palate.next_${t}`)}</h3>
      <p class="soft small">${l(a[t].length?`palate.next_${t}_note`:"palate.next_none")}</p>
      <${j} ordered items=${a[t]} few=${3} more=${l("palate.show_all",{count:a[t].length})} fewer=${l("palate.show_fewer")}
        row=${a=>e`<${$a} key=${a.style} entry=${a} tasted=${n.get(a.style)} />`} />`)}
  </section>`}function ca({entries:a}){return e`<section class="palate-part" aria-labelledby="palate-begin">
    <h2 id="palate-begin">${l("palate.next_begin")}</h2>
    <p class="soft small">${l("palate.next_begin_note")}</p>
    <ol class="ruled">${a.map(({style:a})=>e`<li class="begin-entry" key=${a}><span class="name">${u(a)}</span></li>`)}</ol>
  </section>`}function $a({entry:a,tasted:t}){const{style:n,mean:s,sd:i,p_like:o,reasons:r}=a,[c,$]=la(s,i),d=t?l("palate.n_tastings",{count:t.n}):l("palate.never_tasted");return e`<li class="next-entry"><button type="button" onClick=${()=>function({style:a,mean:e,sd:t,p_like:n,reasons:s},i){const[o,r]=la(e,t);G({title:u(a),sentences:[l("palate.next_numbers",{liking:p(e),low:p(o),high:p(r),share:h(n)}),...s.map(a=>l("palate.reason_points",{reason:x(a),points:w(a.effect)}))],tastings:(i?.tastings??[]).map(a=>({id:a}))})}(a,t)}>
    <span class="next-head"><span class="name">${u(n)}</span><span class="figure">${k(s)}</span></span>
    <${O} ...${ia} tick=${5} low=${c} high=${$} mark=${s} filled=${b(s)} />
    <span class="small">${l("palate.chance",{share:h(o)})}<span class="soft"> \u00b7 ${d}</span></span>
    ${v(r).map(a=>e`<span class="voice">${a}</span>`)}
  </button></li>`}const pa={min:1,max:9},ua=1.2816,ha={warmth:3,guess_abv:3,guess_age_years:10};function da({repeatability:a}){const{within_sd:t,limit:n,ceiling:s,bottles:i,level:o}=a,r=null!==t&&null!==n;return e`<section class="palate-part" aria-labelledby="palate-steady">
    <h2 id="palate-steady">${l("palate.steady")}</h2>
    ${r?e`<p>${l("palate.steady_said",{sd:p(t),limit:p(n)})} ${"few"===o&&l("palate.steady_few")}</p>
        ${null!==s&&e`<p>${l("palate.steady_ceiling",{ceiling:p(s,2)})}</p>`}
        <${ga} bottles=${i} />`:e`<p class="soft">${l("palate.steady_none")}</p>`}
  </section>`}function ga({bottles:n}){const[s,i]=a(new Map);t(()=>{o(n.map(({bottle:a})=>a)).then(i)},[n]);const r=[...n].sort((a,e)=>fa(e.likings)-fa(a.likings));return e`<${j} items=${r} few=${5} more=${l("palate.show_all",{count:r.length})} fewer=${l("palate.show_fewer")}
    row=${a=>e`<${ma} key=${a.bottle} repeated=${a} name=${m(f(s,a.bottle))} />`} />`}function ma({repeated:{tastings:a,likings:t},name:n}){return e`<li class="interval-row"><button type="button" onClick=${()=>G({title:n,sentences:[l("palate.steady_apart",{points:p(fa(t))})],tastings:a.map(a=>({id:a}))})}>
    <span class="interval-name"><span class="name">${n}</span></span>
    <span class="figure">${t.join(" · ")}</span><${R} ...${pa} values=${t} /></button></li>`}function fa(a){return Math.max(...a)-Math.min(...a)}function ba({calibration:a}){const t=Object.keys(ha).filter(e=>null!==a[e].mean);return e`<section class="palate-part" aria-labelledby="palate-calibration">
    <h2 id="palate-calibration">${l("palate.calibration")}</h2>
    <p class="soft small">${l(t.length?"palate.calibration_legend":"palate.calibration_none")}</p>
    <ul class="ruled">${t.map(t=>e`<${_a} key=${t} name=${t} check=${a[t]} />`)}</ul>
    <a class="button plain" href="#/pour/guesses">${l("palate.all_guesses")}</a>
  </section>`}function _a({name:a,check:t}){const n=Number(t.mean),s=ua*(t.sd_of_mean??ha[a]),i=ya(a,t),o=Math.max(ha[a],Math.ceil(Math.abs(n)+s));return e`<li class="next-entry"><button type="button" onClick=${()=>G({title:l(`palate.check_${a}`),sentences:[i,...null===t.sd?[]:[l("palate.check_spread",{sd:p(t.sd)})]],tastings:t.tastings.map(a=>({id:a}))})}>
    <span class="next-head"><span class="name">${l(`palate.check_${a}`)}</span><span class="figure">${w(n)}</span></span>
    <${O} min=${-o} max=${o} tick=${0} low=${n-s} high=${n+s} mark=${n} filled=${!0} />
    <span class="voice">${i}</span></button></li>`}function ya(a,{mean:e,sd_of_mean:t,level:n,mean_abv:s}){const i=Math.abs(Number(e));return"known"!==n?l(`palate.check_${a}_few`,{points:p(i)}):i<=ua*Number(t)?l(`palate.check_${a}_fits`):l(`palate.check_${a}_${Number(e)>0?"above":"below"}`,{points:p(i),abv:p(Math.abs(s??0))})}const wa={min:0,max:10};function ka({targets:a}){const t=[...a].sort((a,e)=>va(e)-va(a));return e`<section class="palate-part" aria-labelledby="palate-targets">
    <h2 id="palate-targets">${l("palate.targets")}</h2>
    <p class="soft small">${l("palate.targets_legend")}</p>
    <ul class="ruled">${t.map(a=>e`<${xa} key=${a.attribute} target=${a} />`)}</ul>
  </section>`}function va({shape:a,weight:e}){return"unknown"===a?e-9:e}function xa({target:a}){const{attribute:t,low:n,high:s,weight:i,shape:o}=a,r=M(a),c="unknown"!==o;return e`<li class="target-entry">
    <button type="button" class="target-button" onClick=${()=>function(a){const{attribute:e,low:t,high:n,weight:s,shape:i,dots:o}=a,r={low:p(t),high:p(n)};G({title:l(`scale.${e}`),sentences:[M(a),"peak"===i?l("palate.target_numbers",{target:p(Number(a.target)),...r}):l("palate.target_numbers_open",r),l("palate.weight_numbers",{name:l(`palate.of.${e}`),points:p(s,1)}),...Ma(a)],column:l(`scale.${e}`),tastings:o.map(({tasting:a,x:e})=>({id:a,figure:p(e)}))})}(a)}>
      <span class="target-head"><span class="name">${l(`scale.${t}`)}</span>
        ${c&&e`<span class="soft small">${C(i)}</span>`}
        <span class="figure">${"peak"===o?k(Number(a.target)):c?"":"–"}</span></span>
      <${F} ...${wa} low=${c?n:null} high=${c?s:null} mark=${"peak"===o?a.target:null}
        open=${"more"===o?"high":"less"===o?"low":null} dots=${function({dots:a}){return a.map(({x:a,liking:e})=>({x:a,height:_(e),filled:b(e)}))}(a)} />
      <span class="scale-ends" aria-hidden="true"><span>${l(`scale.${t}.low`)}</span><span>${l(`scale.${t}.high`)}</span></span>
      <span class="target-said voice">${r}</span>
    </button>
  </li>`}function Ma({marks:a}){const{too_little:e,just_right:t,too_much:n}=a;return e+t+n?[l("palate.marks_numbers",{little:e,right:t,much:n})]:[]}function Ca(){const a=g.value;return e`<${d} title=${l("palate.title")}>
    ${a&&0!==a.n_rated?e`<${ja} learned=${a} />`:e`<${Na} learned=${a} />`}
    <${H} />
  <//>`}function Na({learned:a}){return e`<div class="empty"><p class="voice">${l("palate.lead_none")}</p>
      ${!a&&e`<p class="soft">${l("palate.not_yet")}</p>`}</div>
    ${a&&e`<${ca} entries=${a.next.teaches} />`}
    <div class="at-thumb"><a class="button primary" href="#/pour">${l("palate.pour")}</a></div>`}function ja({learned:a}){const{targets:t,alcohol:n,styles:s,next:l,changes:i,repeatability:o,calibration:r}=a;return e`<${qa} learned=${a} />
    <${ka} targets=${t} />
    ${n&&e`<${X} alcohol=${n} />`}
    <${ta} styles=${s} />
    <${ra} next=${l} styles=${s} />
    <${J} changes=${i} />
    <${da} repeatability=${o} />
    <${ba} calibration=${r} />`}function qa({learned:{n_rated:a,levels:t,targets:n}}){const s=t.includes("under_five")?"first":t.includes("under_ten")?"young":"grown",{known:i,open:o}=N(n);return e`<p class="palate-lead voice">${[l(`palate.lead_${s}`,{count:a}),...i.length?[l("palate.lead_sure",{names:$(i)})]:[],...o.length&&"first"!==s?[l("palate.lead_unknown",{names:$(o)})]:[]].join(" ")}</p>`}export{X as A,ca as B,J as C,H as E,j as F,ea as H,O as I,ra as N,R,T as S,F as T,L as a,ta as b,ba as c,da as d,ya as e,ka as f,A as g,Ca as h,la as l,G as o};