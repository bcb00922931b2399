#!/usr/bin/env python3
"""Keeps every answer of a served demo (JSON, pages' text, command line) in a folder, to compare two builds.
usage: freeze.py BINARY OUT [--pages N]     then: diff -r OUT1 OUT2"""
import sys,subprocess,urllib.request,urllib.parse,urllib.error,re,json,pathlib,tempfile,os,hashlib,html,time,collections
binary=os.path.abspath(sys.argv[1]); out=pathlib.Path(sys.argv[2]); limit=int(sys.argv[sys.argv.index('--pages')+1]) if '--pages' in sys.argv else 500
out.mkdir(parents=True,exist_ok=True)
tmp=tempfile.mkdtemp(); db=os.path.join(tmp,'demo.db')
server=subprocess.Popen([binary,'serve','--data',db,'--listen','127.0.0.1:0'],stdout=subprocess.PIPE,stderr=subprocess.DEVNULL,text=True,cwd=tmp)
base=None
for line in server.stdout:
    m=re.search(r'http://127\.0\.0\.1:\d+',line)
    if m: base=m.group(0); break
def get(path,data=None):
    headers={'accept':'text/html,application/json'}
    if data is not None: headers['content-type']='application/json'
    req=urllib.request.Request(base+path,data=data,headers=headers)
    try:
        with urllib.request.urlopen(req) as r: return r.status,r.headers.get('content-type',''),r.read().decode()
    except urllib.error.HTTPError as e: return e.code,e.headers.get('content-type',''),e.read().decode()
def name(path): return (re.sub(r'[^A-Za-z0-9._-]+','_',path)[:120] or '_')+'-'+hashlib.sha1(path.encode()).hexdigest()[:8]
def steady(t):
    t=re.sub(r'/static/[0-9a-f]+/','/static/HASH/',t); t=re.sub(r'name="token" value="[^"]*"','name="token" value="T"',t)
    t=t.replace(base,'BASE').replace(base.removeprefix('http://'),'HOST')
    t=re.sub(r'"entered_at": ?"[^"]*"','"entered_at":"T"',t)
    t=re.sub(r'\b20\d\d-\d\d-\d\dT\d\d:\d\d:\d\d[.\dZ]*','TIME',t)
    t=re.sub(r'20\d\d-\d\d-\d\d \d\d:\d\d(:\d\d)?','TIME',t); t=re.sub(r'name="seen" value="[^"]*"','name="seen" value="S"',t)
    return t
def keep(kind,path,text):
    d=out/kind; d.mkdir(exist_ok=True)
    (d/name(path)).write_text(f'{path}\n{steady(text)}\n')
def keep_json(path,data=None):
    s,c,b=get(path,data)
    try: b=json.dumps(json.loads(b),indent=1,ensure_ascii=False)
    except ValueError: pass
    keep('json',path+('#'+data.decode() if data else ''),f'{s}\n{b}'); return b
trials=[t['trial'] for t in json.loads(keep_json('/api/trials'))['trials']]
for q in ['?q=weld','?q=a&page=2','?status=decided','?year=2025']: keep_json('/api/trials'+q)
for t in trials:
    for tail in ['','/standing','/resemblance','/decisions','/standing?draws=2000&seed=3','/standing?head=1','/standing?weight.nothing=1']: keep_json(f'/api/trials/{t}{tail}')
    st=json.loads(get(f'/api/trials/{t}/standing')[2])
    for k in st['tests'][:30]:
        keep_json(f"/api/trials/{t}/standing?without={k['key']}"); keep_json(f"/api/trials/{t}/standing?weight.{k['key']}=0.5")
        keep_json(f"/api/trials/{t}/tests/{k['method']}")
        keep_json(f"/api/trials/{t}/tests/{k['method']}?quantity={k['quantity']}&blend={st['candidates'][0]['blend']}")
        keep_json(f"/api/trials/{t}/tests/{k['method']}?number=315")
keep_json('/healthz')
for kind,key in [('methods','methods'),('machines','machines'),('blends','blends'),('rigs','rigs')]:
    b=json.loads(keep_json('/api/'+kind)); rows=b if isinstance(b,list) else next(v for v in b.values() if isinstance(v,list))
    for row in rows:
        i=row.get('id') or row.get('method') or row.get('machine') or row.get('blend') or row.get('rig') or row.get('slug')
        if i: keep_json(f'/api/{kind}/{urllib.parse.quote(str(i))}')
steel={'rx_m':0.00635,'ry_m':0.00635,'e_pa':2.1e11,'nu':0.3,'rq_m':5e-8}
calc={'contact':[{'bodies':[steel,{**steel,'rx_m':None,'ry_m':None}],'load_n':100,'u1_m_s':1,'u2_m_s':0.5,'viscosity_pa_s':0.05,'alpha_per_pa':2e-8},{'bodies':[steel,steel],'length_m':0.01,'load_n':100},{'bodies':[steel]}],
 'gear':[{'z1':16,'z2':24,'module_m':0.0045,'pressure_angle_deg':20,'helix_deg':0,'centre_distance_m':0.0915,'face_width_m':0.02,'tip_diameter1_m':0.0825,'tip_diameter2_m':0.1184,'pinion_torque_nm':300,'pinion_rpm':2170,'e_pa':2.06e11,'nu':0.3},{'z1':1}],
 'viscosity':[{'kv40_mm2_s':220,'kv100_mm2_s':19,'temperature_c':80},{'kv40_mm2_s':10,'kv100_mm2_s':19,'temperature_c':80}],
 'four-ball-ep':[{'runs':[{'load_kgf':l,'scar_mm':s,'weld':w} for l,s,w in [(32,0.28,False),(40,0.29,False),(50,0.31,False),(63,0.33,False),(80,0.36,False),(100,0.39,False),(126,0.6,False),(160,1.2,False),(200,2.0,False),(250,2.5,False),(315,None,True)]]},{'runs':[]}],
 'weibull':[{'times':[100,220,310,400],'censored':[False,False,True,False],'shape':None},{'times':[],'censored':[],'shape':None}]}
for k,bodies in calc.items():
    for b in bodies: keep_json('/api/calculate/'+k,json.dumps(b).encode())
for t in trials:
    for a in (['standing',t],['standing',t,'--json']):
        r=subprocess.run([binary,*a,'--data',db],capture_output=True,text=True,cwd=tmp); keep('cli',' '.join(a),f'{r.returncode}\n{r.stdout}\n{r.stderr}')
for a in (['check'],['standing','nosuch'],['--help'],['load','--help'],['export','exp'],['load','exp']):
    r=subprocess.run([binary,*a]+(['--data',db] if '--help' not in a else []),capture_output=True,text=True,cwd=tmp); keep('cli',' '.join(a),f'{r.returncode}\n{r.stdout}\n{r.stderr}'.replace(tmp,'TMP').replace(os.path.basename(binary),'likewear'))
for f in sorted(pathlib.Path(tmp,'exp').glob('*.csv')): keep('export',f.name,f.read_text())
seen={'/'}; queue=collections.deque(['/','/units','/import','/about','/calculate/contact?x=','/trials?q=weld&year=2025']+[f'/trials/{t}{x}' for t in trials for x in ['','/resemblance','/plan','/results','/decision','/report']]); n=0; fails=0
while queue and n<limit:
    p=queue.popleft(); s,c,b=get(p); n+=1
    if s>=500: fails+=1; print('!!',s,p)
    if 'html' in c:
        for h in re.findall(r'href="([^"#]*)',b):
            h=html.unescape(h)
            if h.startswith('/') and not h.startswith(('/static','//')) and h not in seen: seen.add(h); queue.append(h)
        b=re.sub(r'\s+',' ',b).replace('> <','>\n<').replace('</','\n</').replace('><','>\n<')
    keep('pages',p,f'{s} {c}\n{b}')
server.terminate(); server.wait()
print(n,'pages',len(list((out/'json').iterdir())),'json; 5xx:',fails)
